package main

import (
	"flag"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "write what the commands print into the scripts; read the difference before keeping it")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"urdir": main})
}

// Each script is one story, in both languages where it prints words.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata", UpdateScripts: *update,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"filldemo": filldemo, "spoil": spoil}})
}
