package archive

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// What is in the zip of a backup.
const (
	manifestName = "manifest.json"
	databaseName = "urdir.sqlite"
	backupFormat = "urdir-backup"
	formatNumber = 1
)

// backupManifest says what a backup holds.
type backupManifest struct {
	Format    string            `json:"format"`
	Version   int               `json:"version"` // of the format
	Schema    int64             `json:"schema"`  // of the tables
	Taken     time.Time         `json:"taken"`
	Workshops []workshopEntry   `json:"workshops"`
	Size      int64             `json:"size"` // of the database, in bytes
	Sums      map[string]string `json:"sha256"`
}

type workshopEntry struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Report says what went out or came in.
type Report struct {
	File      string
	Bytes     int64 // of the file
	Workshops []string
	Aside     string // where what was there before is kept; empty if there was nothing
}

// Backup writes everything a database keeps, as it is now, into a new file;
// others go on working meanwhile. It returns when the file is on disk, was read
// back and is as it should be. A file of that name is never overwritten.
func Backup(ctx context.Context, db *store.DB, file string, now time.Time) (Report, error) {
	if err := vacant(file); err != nil {
		return Report{}, err
	}
	dir, err := os.MkdirTemp(filepath.Dir(file), partPrefix)
	if err != nil {
		return Report{}, unwritable(file, err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // the file is out of it by then
	copied := filepath.Join(dir, databaseName)
	if err = db.Snapshot(ctx, copied); err != nil {
		return Report{}, unwritable(file, err)
	}
	m, err := lookAt(ctx, copied)
	if err != nil {
		return Report{}, err
	}
	m.Taken = now.UTC().Truncate(time.Second)
	part := filepath.Join(dir, "zip")
	if err = writeZip(part, func(z *zip.Writer) error { return packBackup(z, copied, m) }); err != nil {
		return Report{}, unwritable(file, err)
	}
	if _, err = readBackup(part, discard); err != nil {
		return Report{}, err
	}
	err = place(part, file)
	return m.report(file), err
}

// discard reads to the end.
func discard(r io.Reader) error {
	_, err := io.Copy(io.Discard, r)
	return err
}

// partPrefix begins the names of folders in which something is being made.
const partPrefix = ".urdir-part-"

func vacant(file string) error {
	if _, err := os.Lstat(file); err == nil {
		return fault(file, "file-exists", check.Args{"file": file})
	} else if !errors.Is(err, fs.ErrNotExist) {
		return unwritable(file, err)
	}
	return nil
}

// place gives a finished file its name, unless something else has taken it.
func place(part, file string) error {
	if err := vacant(file); err != nil {
		return err
	}
	if err := os.Rename(part, file); err != nil {
		return unwritable(file, err)
	}
	return store.Sync(file)
}

// unwritable is a fault of the place a file was to go to.
func unwritable(file string, err error) error {
	var found Faults
	if err == nil || errors.As(err, &found) || errors.Is(err, context.Canceled) {
		return err
	}
	reason := err.Error()
	if inner, ok := errors.AsType[*fs.PathError](err); ok { // of a name nobody has heard of
		reason = inner.Err.Error()
	}
	return fault(file, "file-unwritable", check.Args{"file": file, "reason": reason})
}

// lookAt opens a copy, verifies it whole and says what it holds.
func lookAt(ctx context.Context, path string) (m backupManifest, err error) {
	m = backupManifest{Format: backupFormat, Version: formatNumber}
	db, err := store.Open(ctx, path)
	if err != nil {
		return m, fault(path, "backup-damaged", check.Args{"reason": err.Error()})
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err = verify(ctx, db, path); err != nil {
		return m, err
	}
	if m.Schema, err = db.Version(ctx); err != nil {
		return m, err
	}
	return m, db.Read(ctx, func(r *store.Reader) error {
		all, err := r.Workshops()
		for _, w := range all {
			m.Workshops = append(m.Workshops, workshopEntry(w))
		}
		return err
	})
}

// verify tells every fault of what a database keeps.
func verify(ctx context.Context, db *store.DB, file string) error {
	found, err := db.Verify(ctx)
	if err != nil {
		return fault(file, "backup-damaged", check.Args{"reason": err.Error()})
	}
	var faults Faults
	for _, f := range found {
		if faults.wrong(file, 0, "backup-fault", check.Args{"fault": f}) != nil {
			break
		}
	}
	return faults.err()
}

func (m backupManifest) report(file string) Report {
	r := Report{File: file}
	for _, w := range m.Workshops {
		r.Workshops = append(r.Workshops, w.Name)
	}
	if info, err := os.Stat(file); err == nil {
		r.Bytes = info.Size()
	}
	return r
}

// writeZip writes a new zip and has it on disk.
func writeZip(file string, fill func(*zip.Writer) error) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	z := zip.NewWriter(f)
	err = fill(z)
	return errors.Join(err, z.Close(), f.Sync(), f.Close())
}

// packBackup writes the manifest and the copy. The copy is whole and nobody
// else's, so it may be read twice.
func packBackup(z *zip.Writer, copied string, m backupManifest) error {
	f, err := os.Open(copied)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // only read
	sum := sha256.New()
	if m.Size, err = io.Copy(sum, f); err != nil {
		return err
	}
	m.Sums = map[string]string{databaseName: hex.EncodeToString(sum.Sum(nil))}
	if err = addJSON(z, manifestName, m); err != nil {
		return err
	}
	if _, err = f.Seek(0, io.SeekStart); err != nil {
		return err
	}
	w, err := z.Create(databaseName)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, f)
	return err
}

func addJSON(z *zip.Writer, name string, v any) error {
	body, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		return err
	}
	w, err := z.Create(name)
	if err == nil {
		_, err = w.Write(append(body, '\n'))
	}
	return err
}

// maxManifest bounds what is read of a manifest.
const maxManifest = 4 << 20

// readBackup checks a backup from its first byte to its last and gives the
// database in it to take.
func readBackup(file string, take func(io.Reader) error) (m backupManifest, err error) {
	bad := func(err error) error {
		return fault(file, "backup-damaged", check.Args{"reason": err.Error()})
	}
	z, err := zip.OpenReader(file)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		return m, fault(file, "file-unreadable", check.Args{"file": file, "reason": err.Error()})
	}
	if err != nil {
		return m, bad(err)
	}
	defer func() { _ = z.Close() }() // only read
	if err = readJSON(&z.Reader, manifestName, &m); err != nil {
		return m, bad(err)
	}
	newest, err := store.Newest()
	switch {
	case err != nil:
		return m, err
	case m.Format == exportFormat:
		return m, fault(file, "backup-is-export", nil)
	case m.Format != backupFormat:
		return m, bad(fmt.Errorf("it is %q", m.Format))
	case m.Version > formatNumber || m.Schema > newest:
		return m, fault(file, "backup-newer", check.Args{"version": m.Schema, "known": newest})
	}
	packed, err := os.Stat(file)
	if err != nil {
		return m, bad(err)
	}
	if m.Size > mostPacked*packed.Size() {
		return m, bad(fmt.Errorf("it would unpack to more than %d times its size", mostPacked))
	}
	f, err := z.Open(databaseName)
	if err != nil {
		return m, bad(err)
	}
	defer func() { _ = f.Close() }() // only read
	sum := sha256.New()
	counted := &counter{r: io.TeeReader(io.LimitReader(f, m.Size+1), sum)}
	if err = take(counted); err != nil {
		if _, unread := errors.AsType[*readError](err); unread {
			return m, bad(err)
		}
		return m, err
	}
	if got := hex.EncodeToString(sum.Sum(nil)); counted.n != m.Size || !strings.EqualFold(got, m.Sums[databaseName]) {
		return m, bad(errors.New("its checksum is another"))
	}
	return m, nil
}

// mostPacked is how many times a database may be larger than its backup. Ours are 3
// to 30 times; zip itself can pack what is all alike a thousand times.
const mostPacked = 200

// readError is a fault of reading, as against one of what is done with it.
type readError struct{ error }

func (r *readError) Unwrap() error { return r.error }

// counter counts what is read, and marks errors of reading.
type counter struct {
	r io.Reader
	n int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	if err != nil && !errors.Is(err, io.EOF) {
		err = &readError{err}
	}
	return n, err
}

// readJSON reads a small JSON file of a zip.
func readJSON(z *zip.Reader, name string, into any) error {
	f, err := z.Open(name)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // only read
	body, err := io.ReadAll(io.LimitReader(f, maxManifest))
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}
