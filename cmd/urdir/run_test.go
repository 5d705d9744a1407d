package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"urdir/yarn"
)

func noEnv(string) string { return "" }

func TestRun_exitCodes(t *testing.T) {
	for _, test := range []struct {
		name string
		args []string
		want int
	}{
		{"good", []string{"yarn", "Ne 8"}, exitGood},
		{"caution", []string{"yarn", "Ne 8", "--wraps", "20 /cm"}, exitGood},
		{"mistake", []string{"yarn", "Ne"}, exitMistake},
		{"mistake as JSON", []string{"yarn", "Ne", "--json"}, exitMistake},
		{"unknown language", []string{"--lang", "xx"}, exitMistake},
	} {
		var out, errOut bytes.Buffer
		if got := run(context.Background(), test.args, strings.NewReader(""), &out, &errOut, noEnv); got != test.want {
			t.Errorf("%s: exit %d; want %d\n%s%s", test.name, got, test.want, &out, &errOut)
		}
	}
}

// fullDisk refuses everything.
type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestRun_lostOutputIsAnError(t *testing.T) {
	for _, args := range [][]string{{"yarn", "Ne 8"}, {"yarn", "Ne 8", "--json"}, {"--help"}, {"yarn", "Ne", "--json"}} {
		var errOut bytes.Buffer
		got := run(context.Background(), args, strings.NewReader(""), fullDisk{}, &errOut, noEnv)
		if got != exitBroken || !strings.Contains(errOut.String(), "no space left") {
			t.Errorf("%v: exit %d and %q; want %d and the reason", args, got, &errOut, exitBroken)
		}
	}
}

// The counts in the JSON are read back as the same yarn.
func TestYarnJSON_countsReadBack(t *testing.T) {
	var out, errOut bytes.Buffer
	if code := run(context.Background(), []string{"yarn", "Ne 20/2", "--json"}, strings.NewReader(""), &out, &errOut, noEnv); code != exitGood {
		t.Fatal(errOut.String())
	}
	var got struct {
		Strand  float64                  `json:"strand_tex"`
		Systems []struct{ Count string } `json:"systems"`
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Systems) != len(yarn.Systems()) {
		t.Fatalf("%d systems; want %d", len(got.Systems), len(yarn.Systems()))
	}
	for _, s := range got.Systems {
		c, err := yarn.ParseCount(s.Count)
		if err != nil {
			t.Errorf("%q: %v", s.Count, err)
			continue
		}
		if ratio := float64(c.Tex()) / got.Strand; ratio < 0.9999 || ratio > 1.0001 { // five figures
			t.Errorf("%q is %v tex; want %v", s.Count, c.Tex(), got.Strand)
		}
	}
}

func TestCutSkein(t *testing.T) {
	for _, test := range []struct {
		text, length, mass string
		ok                 bool
	}{
		{"100 m, 29.5 g", "100 m", "29.5 g", true},
		{"100 m,29,5 g", "100 m", "29,5 g", true},
		{"91,4 m, 29,5 g", "91,4 m", "29,5 g", true},
		{"100 m 29.5 g", "", "", false},
		{"100, 29.5", "", "", false},
		{", 29.5 g", "", "", false},
		{"", "", "", false},
	} {
		length, mass, ok := cutSkein(test.text)
		if length != test.length || mass != test.mass || ok != test.ok {
			t.Errorf("cutSkein(%q) = %q, %q, %v; want %q, %q, %v", test.text, length, mass, ok, test.length, test.mass, test.ok)
		}
	}
}
