// Package packaging_test installs the Debian package. It has no code of its own.
package packaging_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// run runs a program and gives what it printed.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// build makes the package, of a program built as the other tests build it: make deb
// builds it smaller.
func build(t *testing.T) (file string) {
	t.Helper()
	dir := t.TempDir()
	run(t, "go", "build", "-o", filepath.Join(dir, "urdir"), "urdir/cmd/urdir")
	t.Setenv("PACK", "gzip")
	run(t, "./deb.sh", filepath.Join(dir, "urdir"), dir)
	all, err := filepath.Glob(filepath.Join(dir, "urdir_*.deb"))
	if err != nil || len(all) != 1 {
		t.Fatal("packages: ", all, err)
	}
	return all[0]
}

// The package installs, upgrades and goes as dpkg does it, into a system of its own
// (--root); the program in it runs; what the workshop wrote stays when it is purged.
// Users and the service are not tried here: they would be this machine's.
func TestDeb(t *testing.T) {
	file, root := build(t), t.TempDir()
	admin := filepath.Join(root, "var/lib/dpkg")
	for _, dir := range []string{"updates", "info", "triggers"} {
		if err := os.MkdirAll(filepath.Join(admin, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"status", "available"} {
		if err := os.WriteFile(filepath.Join(admin, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	dpkg := func(args ...string) string {
		t.Helper()
		return run(t, "dpkg", append([]string{"--root=" + root, "--log=" + filepath.Join(root, "log"), "--force-script-chrootless", "--force-not-root", "--force-depends", "--force-bad-path"}, args...)...)
	}
	dpkg("-i", file)
	program, data := filepath.Join(root, "usr/bin/urdir"), filepath.Join(root, "var/lib/urdir")
	for _, name := range []string{"usr/bin/urdir", "lib/systemd/system/urdir.service", "etc/default/urdir", "usr/share/man/man1/urdir.1.gz", "usr/share/doc/urdir/copyright", "var/lib/urdir", "var/backups/urdir"} {
		if _, err := os.Stat(filepath.Join(root, name)); err != nil {
			t.Error(err)
		}
	}
	if info, err := os.Stat(data); err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("the data's folder: %v, %v, want it for its user alone", info.Mode(), err)
	}
	run(t, program, "workshop", "new", "Taller del Cerro", "--name", "Rufina", "--login", "rufina", "--data", data)
	run(t, program, "backup", "--data", data, filepath.Join(root, "var/backups/urdir/urdir-20990101T000000Z.urdir"))
	run(t, program, "doctor", "--data", data, "--backup", filepath.Join(root, "var/backups/urdir"))
	if err := os.WriteFile(filepath.Join(root, "etc/default/urdir"), []byte("URDIR_OPTIONS=mine\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	dpkg("-i", file) // again, as an upgrade
	if kept, err := os.ReadFile(filepath.Join(root, "etc/default/urdir")); err != nil || string(kept) != "URDIR_OPTIONS=mine\n" {
		t.Errorf("what was set after an upgrade: %q, %v", kept, err)
	}
	if said := dpkg("--purge", "urdir"); !strings.Contains(said, "/var/lib/urdir") {
		t.Errorf("nobody is told what stays: %s", said)
	}
	if _, err := os.Stat(program); err == nil {
		t.Error("the program is there after it was purged")
	}
	if _, err := os.Stat(filepath.Join(data, "urdir.sqlite")); err != nil {
		t.Error("the workshop went with the package: ", err)
	}
}

// exposed is how much of what systemd could take away from the service is left to
// it, in tenths of a point of ten: as measured, rounded up. By systemd's own words
// below 2 is "OK".
const exposed = 15

// systemd understands the unit, and finds little left to take away.
func TestUnit(t *testing.T) {
	look, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("no systemd here, so the unit is not looked at: ", err)
	}
	text, err := os.ReadFile("urdir.service")
	if err != nil {
		t.Fatal(err)
	}
	unit := filepath.Join(t.TempDir(), "urdir.service")
	here := strings.ReplaceAll(string(text), "/usr/bin/urdir", "/bin/true") // it is not installed
	if err = os.WriteFile(unit, []byte(here), 0o644); err != nil {
		t.Fatal(err)
	}
	if said := run(t, look, "verify", "--man=no", unit); strings.Contains(said, unit) {
		t.Errorf("verify: %s", said)
	}
	said := run(t, look, "security", "--offline=true", "--no-pager", unit)
	m := regexp.MustCompile(`exposure level for urdir.service: ([0-9]+)\.([0-9])`).FindStringSubmatch(said)
	if m == nil {
		t.Fatalf("security: %s", said)
	}
	if got, _ := strconv.Atoi(m[1] + m[2]); got > exposed {
		t.Errorf("exposure %s.%s, want at most 1.5:\n%s", m[1], m[2], said)
	}
	t.Log(m[0])
}
