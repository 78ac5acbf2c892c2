//go:build !amd64

package elementary

func expLess(t []float64, c float64) { expPlain(t, c) }
