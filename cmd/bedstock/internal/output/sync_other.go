//go:build !unix

package output

// syncDir does nothing: the system has no such call for folders.
func syncDir(string) error { return nil }
