package torture_test

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// A disk that is full refuses acts and loses none; when there is room again the
// same server goes on.
func TestDiskFull(t *testing.T) {
	disk := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=4m", "urdir-torture", disk).CombinedOutput(); err != nil {
		notHere(t, "a full disk (mounting a small one was refused)", errors.New(string(out)))
	}
	t.Cleanup(func() { must(t, exec.Command("umount", disk).Run()) })
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
	err := crowd(ctx, s, 1, func(int) string { return v.at }, func(err error) bool {
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
		if err := c.act(t.Context(), v.at); err != nil {
			t.Errorf("an act after there is room again: %v", err)
		}
	}
	v.kill()
	s.check(t)
	counts.add("disks filled", 1)
	counts.add("acts acknowledged on a disk that filled", before)
	must(t, os.RemoveAll(dir))
}
