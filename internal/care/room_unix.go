//go:build linux || darwin

package care

import "syscall"

// freeBytes is the room that is left on a folder's disk for those who are not its
// owner (POSIX statvfs, f_bavail).
func freeBytes(dir string) (int64, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return 0, err
	}
	return int64(s.Bavail) * int64(s.Bsize), nil //nolint:unconvert // of another width on other systems
}
