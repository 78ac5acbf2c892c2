// FIRST sets X0, X1 to v of the four draws of a group after the first cut, limit/max(stock - kg, 0), with kg in X13 twice, DI
// the paths and AX how far into the numbers of the draws those of the group lie. It sets R10 to how far into their memory the
// years of the group lie, R9 being how many there are, and X12 and R12, the first year, to 0. X2 to X4 are used up.
#define FIRST \
	MOVQ   R9, R10; \
	IMULQ  AX, R10; \
	SHLQ   $1, R10; \
	MOVQ   paths_b(DI), R12; \
	MOVUPD (R12)(AX*1), X2; \
	MOVUPD 16(R12)(AX*1), X3; \
	SUBPD  X13, X2; \
	SUBPD  X13, X3; \
	XORPS  X4, X4; \
	MAXPD  X4, X2; \
	MAXPD  X4, X3; \
	MOVQ   paths_floor(DI), R12; \
	MOVUPD (R12)(AX*1), X0; \
	MOVUPD 16(R12)(AX*1), X1; \
	DIVPD  X2, X0; \
	DIVPD  X3, X1; \
	XORPS  X12, X12; \
	XORL   R12, R12

// GROW takes x, in X0 and X1, to x keep + d gain by the year at R10, with d in X2 and X3. It sets all bits of each half of low and
// high whose x is not <= d then, which is below the limit, and clears the others. a and b are used up.
#define GROW(low, high, a, b) \
	MOVUPD year_keep(R10), low; \
	MULPD  low, X0; \
	MOVUPD year_keep+16(R10), high; \
	MULPD  high, X1; \
	MOVUPD year_gain(R10), a; \
	MULPD  X2, a; \
	ADDPD  a, X0; \
	MOVUPD year_gain+16(R10), b; \
	MULPD  X3, b; \
	ADDPD  b, X1; \
	MOVAPD X0, low; \
	CMPPD  X2, low, $6; \
	MOVAPD X1, high; \
	CMPPD  X3, high, $6

// TWICE sets both halves of a register to a number; ONES sets them to 1, whose bits are 3FF and zeros, by way of AX.
#define TWICE(number, x) \
	MOVSD    number, x; \
	UNPCKLPD x, x

#define ONES(x) \
	MOVQ     $0x3FF0000000000000, AX; \
	MOVQ     AX, x; \
	UNPCKLPD x, x
