package archive

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// Copy is a backup in a folder.
type Copy struct {
	Name  string
	Taken time.Time // by its name
	Bytes int64
}

// Copies lists the backups that were made at intervals in a folder, the newest
// first.
func Copies(dir string) ([]Copy, error) {
	names, err := Keeper{Dir: dir}.all()
	out := make([]Copy, 0, len(names))
	for _, name := range slices.Backward(names) {
		c := Copy{Name: name}
		c.Taken, _ = taken(name) // all has seen that it is one
		if info, gone := os.Stat(filepath.Join(dir, name)); gone == nil {
			c.Bytes = info.Size()
		}
		out = append(out, c)
	}
	return out, err
}

// Try does all that a restore of a backup would, but for putting it in anything's
// place: its checksum, its version, and what it holds, laid out in a folder that
// goes away. The error is all Faults there are.
func Try(ctx context.Context, file string) (Report, error) {
	dir, err := os.MkdirTemp("", partPrefix)
	if err != nil {
		return Report{}, unwritable(os.TempDir(), err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // nothing in it is needed any more
	m, err := unpack(ctx, file, filepath.Join(dir, databaseName))
	return m.report(file), err
}
