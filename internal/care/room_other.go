//go:build !linux && !darwin

package care

import "errors"

// freeBytes is not known here.
func freeBytes(string) (int64, error) { return 0, errors.ErrUnsupported }
