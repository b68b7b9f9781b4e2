//go:build !linux && !darwin && !freebsd

package doctor

import "errors"

// private says that modes of folders keep others out; elsewhere other means do.
const private = false

func free(string) (uint64, error) { return 0, errors.ErrUnsupported }
