package survey

// zeros are n zeros that are written down, for what is looked at before it is written to. Memory that is fresh from the
// system and read first is given out twice, at several times the cost: as a page of zeros that all share, then as one of
// its own.
func zeros[T any](n int) []T {
	out := make([]T, n)
	clear(out)
	return out
}
