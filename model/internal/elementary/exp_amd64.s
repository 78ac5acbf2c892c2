#include "go_asm.h"
#include "textflag.h"

// expPairs works out e^x - c of two numbers at a time with the arithmetic of expPlain, in the same order, until one lies outside
// of its range. SSE2, which every amd64 has, rounds each product and each sum by itself.
//
//	SI  the numbers    CX  how many there are    BX  how many are done    DI  the constants    R8  the powers
//
//	X0 x, then r    X1 shifted, then 2^n 2^(i/128)    X2 k, then r^2    X3 rest of the power, then e^r - 1    X15 c, c
//
// func expPairs(t []float64, c float64, of *constants) (done int)
TEXT ·expPairs(SB), NOSPLIT, $0-48
	MOVQ     t_base+0(FP), SI
	MOVQ     t_len+8(FP), CX
	MOVSD    c+24(FP), X15
	UNPCKLPD X15, X15
	MOVQ     of+32(FP), DI
	LEAQ     ·powers(SB), R8
	MOVUPD   constants_most(DI), X14
	MOVUPD   constants_perStep(DI), X13
	MOVUPD   constants_whole(DI), X12
	MOVUPD   constants_stepA(DI), X11
	MOVUPD   constants_stepB(DI), X10
	MOVUPD   constants_c3(DI), X9
	MOVUPD   constants_c5(DI), X8
	XORL     BX, BX
	DECQ     CX                   // a pair begins before the last

pair:
	CMPQ     BX, CX
	JGE      done
	MOVUPD   (SI)(BX*8), X0
	MOVUPD   constants_sign(DI), X4 // all bits but the sign
	ANDPD    X0, X4
	CMPPD    X14, X4, $1          // |x| < most
	MOVMSKPD X4, AX
	CMPL     AX, $3
	JNE      done
	MOVAPD   X0, X1               // shifted = x perStep + whole
	MULPD    X13, X1
	ADDPD    X12, X1
	MOVAPD   X1, X2               // k = shifted - whole
	SUBPD    X12, X2
	MOVAPD   X2, X4               // r = x - k stepA - k stepB
	MULPD    X11, X4
	SUBPD    X4, X0
	MULPD    X10, X2
	SUBPD    X2, X0
	MOVQ     X1, AX               // powers of the last 7 bits of shifted
	PSHUFD   $0x4E, X1, X5
	MOVQ     X5, DX
	ANDL     $127, AX
	ANDL     $127, DX
	SHLL     $4, AX
	SHLL     $4, DX
	MOVUPD   (R8)(AX*1), X4
	MOVUPD   (R8)(DX*1), X5
	MOVAPD   X4, X3
	UNPCKLPD X5, X4
	UNPCKHPD X5, X3
	PSRLQ    $7, X1               // 2^n by the bits before them
	PSLLQ    $52, X1
	PADDQ    X4, X1
	MOVAPD   X0, X2               // more = rest + r + r2 (0.5 + r c3) + r2 r2 (c4 + r c5)
	MULPD    X0, X2
	ADDPD    X0, X3
	MOVAPD   X0, X4
	MULPD    X9, X4
	MOVUPD   constants_half(DI), X6
	ADDPD    X6, X4
	MULPD    X2, X4
	ADDPD    X4, X3
	MULPD    X2, X2
	MULPD    X8, X0
	MOVUPD   constants_c4(DI), X7
	ADDPD    X7, X0
	MULPD    X0, X2
	ADDPD    X2, X3
	MULPD    X1, X3               // two - c + two more
	SUBPD    X15, X1
	ADDPD    X3, X1
	MOVUPD   X1, (SI)(BX*8)
	ADDQ     $2, BX
	JMP      pair

done:
	MOVQ BX, done+40(FP)
	RET
