package torture_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/workshop"
)

// A disk that is full refuses acts and loses none; when there is room again the
// same server goes on.
func TestDiskFull(t *testing.T) {
	disk := smallDisk(t, "4m")
	for range kills(40) {
		fill(t, disk)
	}
}

// fill has clients write until the disk is full, makes room and looks.
func fill(t *testing.T, disk string) {
	t.Helper()
	dir := filepath.Join(disk, "taller")
	must(t, os.Mkdir(dir, 0o700))
	s := shopIn(t, dir, "")
	v := serve(t, s)
	ballast := filepath.Join(disk, "ballast")
	must(t, os.WriteFile(ballast, make([]byte, 2<<20), 0o600))
	ctx, stop := context.WithTimeout(t.Context(), 5*time.Second)
	refused := 0
	err := crowd(ctx, s, 1, func(int) string { return v.At }, func(err error) bool {
		if errors.Is(err, errRefused) {
			refused++
		}
		if refused == 3 {
			stop()
		}
		return errors.Is(err, errRefused)
	})
	stop()
	must(t, err)
	before := s.acts()
	if refused == 0 {
		t.Error("the disk was never full")
	}
	if out, err := run(t.Context(), "backup", filepath.Join(disk, "copy.urdir"), "--data", dir); err == nil {
		t.Errorf("a backup on a full disk said that it is done: %s", out)
	}
	if _, err := os.Stat(filepath.Join(disk, "copy.urdir")); err == nil {
		t.Error("a backup on a full disk left a file")
	}
	must(t, os.Remove(ballast))
	c := newClient(s)
	for range 4 {
		if err := c.act(t.Context(), v.At); err != nil {
			t.Errorf("an act after there is room again: %v", err)
		}
	}
	v.Kill()
	s.check(t)
	counts.add("disks filled", 1)
	counts.add("acts acknowledged on a disk that filled", before)
	must(t, os.RemoveAll(dir))
}

// A restore onto a disk with too little room, ending wherever the room ends, says so
// and leaves the database as it was, byte for byte; with room it is done.
func TestDiskFull_restore(t *testing.T) {
	disk := smallDisk(t, "8m")
	dir := filepath.Join(disk, "taller")
	must(t, os.Mkdir(dir, 0o700))
	s := shopIn(t, dir, "")
	s.inHouse(t, func(_ *store.DB, h *workshop.House) { s.grow(t, h, 100) })
	file := filepath.Join(t.TempDir(), "early.urdir")
	timed(t, append([]string{"backup", file}, s.where()...)...)
	early := s.acts()
	s.inHouse(t, func(_ *store.DB, h *workshop.House) { s.grow(t, h, 50) })
	before, err := os.ReadFile(s.address)
	must(t, err)
	ballast := filepath.Join(disk, "ballast")
	for _, tenth := range []int{0, 1, 4, 7, 9} { // of the room that the database alone takes
		fillUp(t, ballast, disk, len(before)*tenth/10)
		out, failed := run(t.Context(), append([]string{"--lang", "en", "restore", file}, s.where()...)...)
		if failed == nil || !strings.Contains(out, "no space left") {
			t.Errorf("with %d tenths of the room: %v, %s", tenth, failed, out)
		}
		after, lost := os.ReadFile(s.address)
		must(t, lost, os.Remove(ballast))
		if !bytes.Equal(before, after) {
			t.Errorf("with %d tenths of the room the database is another", tenth)
		}
		if left, odd := filepath.Glob(filepath.Join(dir, "*")); odd != nil || len(left) != 1 {
			t.Errorf("left behind: %v, %v", left, odd)
		}
	}
	timed(t, append([]string{"restore", file}, s.where()...)...)
	if n := s.oneOf(t, early); n != early {
		t.Errorf("%d acts after the restore, want %d", n, early)
	}
	counts.add("restores onto a full disk", 5)
}

// smallDisk is a disk of some size, in memory.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	disk := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size="+size, "urdir-torture", disk).CombinedOutput(); err != nil {
		notHere(t, "a full disk (mounting a small one was refused)", errors.New(string(out)))
	}
	t.Cleanup(func() { must(t, exec.Command("umount", disk).Run()) })
	return disk
}

// fillUp fills a disk with a file until so many bytes are left.
func fillUp(t *testing.T, file, disk string, leave int) {
	t.Helper()
	var s syscall.Statfs_t
	must(t, syscall.Statfs(disk, &s))
	must(t, os.WriteFile(file, make([]byte, max(0, int(s.Bavail)*int(s.Bsize)-leave)), 0o600))
}
