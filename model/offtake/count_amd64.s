#include "go_asm.h"
#include "textflag.h"
#include "first_amd64.h"

// The loops of count.go, two draws at a time: half of their time. All is SSE2, which every amd64 has, and which rounds each
// product and each sum by itself as those loops do. Nothing that is read need lie at a multiple of 16 bytes.
//
// To read it: the register named last is changed, ADDPD X1, X0 is X0 += X1 in both halves. CMPPD X1, X0, $1 sets all bits of each
// half of X0 that is less than that of X1 ($6: that is not <=), and clears the others: -1 or 0, so that what is subtracted (PSUBL) is
// counted. name+8(FP) is a parameter, which go vet compares with the declaration; 8(SI)(AX*1) is what lies at SI + AX + 8, and
// type_field, told by the compiler in go_asm.h, is how far a field lies into its struct.
//
//	BX  the group that is followed     CX  end of the groups     DI  the paths
//	R8  cuts of the years              R9  number of years       R12 year
//	R10 what the years do              R11 errors of surveys     R13 how often draws of each group are below
//	SI  tally of the years             AX  where in it
//
//	X0, X1 v or x    X2, X3 d    X12 tally of the group    X13 kg, kg    X14 1, 1

// SETUP loads what is the same for all groups.
#define SETUP \
	MOVQ   p+0(FP), DI; \
	MOVQ   groups_base+8(FP), BX; \
	MOVQ   groups_len+16(FP), CX; \
	LEAQ   (BX)(CX*8), CX; \
	MOVQ   of_base+32(FP), R13; \
	MOVQ   paths_tally(DI), SI; \
	MOVQ   paths_cut(DI), R8; \
	MOVQ   paths_years(DI), R9; \
	TWICE(paths_kg(DI), X13); \
	ONES(X14)

// COUNT adds to the tallies the draws whose bits are all set in X4 and X5: their lower halves are four times 0 or -1.
#define COUNT \
	SHUFPS $0x88, X5, X4; \
	MOVOU  (SI)(AX*1), X6; \
	PSUBL  X4, X6; \
	MOVOU  X6, (SI)(AX*1); \
	PSUBL  X4, X12

// SUM writes the sum of the tally of the group and goes on to the next.
#define SUM \
	PSHUFD $0x4E, X12, X4; \
	PADDL  X4, X12; \
	PSHUFD $0xB1, X12, X4; \
	PADDL  X4, X12; \
	MOVL   X12, AX; \
	MOVQ   (BX), R12; \
	MOVQ   AX, (R13)(R12*8); \
	ADDQ   $8, BX

// tallyExact follows v -> v m keep + gain, with m = 1/(1-h).
//
// func tallyExact(p *paths, groups, of []int)
TEXT ·tallyExact(SB), NOSPLIT, $0-56
	SETUP

exactGroup:
	CMPQ BX, CX
	JGE  exactDone
	MOVQ (BX), AX
	SHLQ $5, AX                   // a group has four numbers of 8 bytes
	FIRST
	ADDQ paths_year(DI), R10
	XORL AX, AX

exactYear:
	TWICE((R8)(R12*8), X2)
	MULPD    X2, X0
	MULPD    X2, X1
	MOVUPD   year_keep(R10), X3
	MULPD    X3, X0
	MOVUPD   year_keep+16(R10), X4
	MULPD    X4, X1
	MOVUPD   year_gain(R10), X5
	ADDPD    X5, X0
	MOVUPD   year_gain+16(R10), X6
	ADDPD    X6, X1
	MOVAPD   X14, X4              // below: 1 < v
	CMPPD    X0, X4, $1
	MOVAPD   X14, X5
	CMPPD    X1, X5, $1
	COUNT
	ADDQ     $year__size, R10
	ADDQ     $16, AX
	INCQ     R12
	CMPQ     R12, R9
	JLT      exactYear
	SUM
	JMP      exactGroup

exactDone:
	RET

// tallyFraction follows d -> d (1 - h w), x -> x keep + d gain.
//
// func tallyFraction(p *paths, groups, of []int)
TEXT ·tallyFraction(SB), NOSPLIT, $0-56
	SETUP

fractionGroup:
	CMPQ   BX, CX
	JGE    fractionDone
	MOVQ   (BX), AX
	SHLQ   $5, AX
	FIRST
	MOVQ   R10, R11
	SHRQ   $1, R11                // an error takes half of the room of what a year does
	ADDQ   paths_year(DI), R10
	ADDQ   paths_miss(DI), R11
	MOVAPD X14, X2
	MOVAPD X14, X3
	XORL   AX, AX

fractionYear:
	TWICE((R8)(R12*8), X4)
	MOVUPD   (R11), X5
	MULPD    X4, X5
	MOVAPD   X14, X6
	SUBPD    X5, X6
	MULPD    X6, X2
	MOVUPD   16(R11), X7
	MULPD    X4, X7
	MOVAPD   X14, X8
	SUBPD    X7, X8
	MULPD    X8, X3
	GROW(X4, X5, X7, X8)
	COUNT
	ADDQ     $year__size, R10
	ADDQ     $32, R11
	ADDQ     $16, AX
	INCQ     R12
	CMPQ     R12, R9
	JLT      fractionYear
	SUM
	JMP      fractionGroup

fractionDone:
	RET
