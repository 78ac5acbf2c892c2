#include "go_asm.h"
#include "textflag.h"
#include "first_amd64.h"

// watchFractions follows x and d of the draws as watchFraction does, two draws at a time; see count_amd64.s.
//
//	BX  how far into the draws the group lies    CX  where the last one ends    DI  the paths    SI  the view
//	R8  fractions of the years                   R9  number of years            R12 year
//	R10 what the years do                        R11 tiles of years before those of the group
//	R13 tally of the year                        DX  where the stock of the year is kept
//
//	X0, X1 x    X2, X3 d    X4, X5 cut    X10, X11 limit    X12 draws ever below    X13 kg, kg    X14 1, 1
//	X15 tally of X12
//
// func watchFractions(p *paths, v *view, from, to int)
TEXT ·watchFractions(SB), NOSPLIT, $0-32
	MOVQ     p+0(FP), DI
	MOVQ     v+8(FP), SI
	MOVQ     from+16(FP), BX
	MOVQ     to+24(FP), CX
	SHLQ     $5, BX
	SHLQ     $5, CX
	MOVQ     (view_way+way_meant)(SI), R8
	MOVQ     paths_years(DI), R9
	TWICE((view_way+way_kg)(SI), X13)
	ONES(X14)
	MOVOU    view_ever(SI), X15

group:
	CMPQ     BX, CX
	JGE      done
	MOVQ     BX, AX
	FIRST
	MOVQ     R10, R11
	SHRQ     $6, R11
	ADDQ     paths_year(DI), R10
	MOVQ     paths_floor(DI), AX
	MOVUPD   (AX)(BX*1), X10
	MOVUPD   16(AX)(BX*1), X11
	MOVQ     view_tally(SI), R13
	MOVQ     view_kept(SI), DX
	MOVAPD   X14, X2
	MOVAPD   X14, X3
	XORPS    X4, X4
	XORPS    X5, X5

year:
	MOVQ     (R8)(R12*8), AX
	TESTQ    AX, AX
	JEQ      uncut
	TWICE((R8)(R12*8), X6)        // f, times the error of the survey if there is one
	MOVAPD   X6, X7
	CMPQ     paths_miss(DI), $0
	JEQ      meant
	LEAQ     (R11)(R12*1), AX
	SHLQ     $5, AX
	ADDQ     paths_miss(DI), AX
	MOVUPD   (AX), X8
	MULPD    X8, X6
	MOVUPD   16(AX), X9
	MULPD    X9, X7

meant:
	MOVAPD   X6, X8                      // cut += f d/x
	MULPD    X2, X8
	DIVPD    X0, X8
	ADDPD    X8, X4
	MOVAPD   X7, X9
	MULPD    X3, X9
	DIVPD    X1, X9
	ADDPD    X9, X5
	MOVAPD   X14, X8                     // d *= 1 - f
	SUBPD    X6, X8
	MULPD    X8, X2
	MOVAPD   X14, X9
	SUBPD    X7, X9
	MULPD    X9, X3

uncut:
	GROW(X6, X7, X8, X9)
	SHUFPS   $0x88, X7, X6
	MOVOU    (R13), X7
	PSUBL    X6, X7
	MOVOU    X7, (R13)
	POR      X6, X12
	MOVQ     (DX), AX
	TESTQ    AX, AX
	JEQ      next
	MOVAPD   X0, X6                      // stock: limit/(x/d)
	DIVPD    X2, X6
	MOVAPD   X10, X8
	DIVPD    X6, X8
	MOVUPD   X8, (AX)(BX*1)
	MOVAPD   X1, X7
	DIVPD    X3, X7
	MOVAPD   X11, X9
	DIVPD    X7, X9
	MOVUPD   X9, 16(AX)(BX*1)

next:
	ADDQ     $year__size, R10
	ADDQ     $16, R13
	ADDQ     $24, DX
	INCQ     R12
	CMPQ     R12, R9
	JLT      year

	MOVQ     paths_b(DI), AX             // taken: limit cut + min(kg, stock)
	MOVUPD   (AX)(BX*1), X6
	MOVUPD   16(AX)(BX*1), X7
	MINPD    X13, X6
	MINPD    X13, X7
	MULPD    X10, X4
	MULPD    X11, X5
	ADDPD    X6, X4
	ADDPD    X7, X5
	MOVQ     view_taken(SI), AX
	MOVUPD   X4, (AX)(BX*1)
	MOVUPD   X5, 16(AX)(BX*1)
	PSUBL    X12, X15
	ADDQ     $32, BX
	JMP      group

done:
	MOVOU    X15, view_ever(SI)
	RET
