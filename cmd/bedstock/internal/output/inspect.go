package output

import (
	"errors"
	"io"
	"os"
)

// finding is what is wrong with a folder; the zero value is a folder that may be replaced.
type finding struct {
	reason   string
	problems []string
}

func (f finding) fine() bool { return f.reason == "" && len(f.problems) == 0 }

// inspect tells whether a folder may be replaced: an empty one, or one that is as its manifest says.
func inspect(dir string) (finding, error) {
	empty, err := isEmpty(dir)
	if err != nil || empty {
		return finding{}, err
	}
	problems, err := Verify(dir)
	switch {
	case errors.Is(err, ErrNotOurs):
		return finding{reason: err.Error()}, nil
	case err != nil:
		return finding{}, err
	case len(problems) > 0:
		return finding{"was changed since it was written", problems}, nil
	}
	return finding{}, nil
}

func isEmpty(dir string) (bool, error) {
	f, err := os.Open(dir)
	if err != nil {
		return false, err
	}
	defer f.Close()
	if _, err = f.ReadDir(1); err == io.EOF {
		return true, nil
	}
	return false, err
}
