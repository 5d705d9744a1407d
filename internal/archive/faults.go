package archive

import (
	"errors"
	"fmt"
	"strings"

	"urdir/check"
)

// Fault is one thing that is wrong with a file that was to come in: in which file
// of a zip, and on which line of it, counted from 1; 0 is the file as a whole.
type Fault struct {
	File string
	Line int
	check.Problem
}

// Faults is all that is wrong with it.
type Faults []Fault

// Error lists the faults for a log.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = fmt.Sprintf("%s:%d: %s", f.File, f.Line, f.Problem)
	}
	return strings.Join(lines, "\n")
}

// maxFaults is how many are told; more help nobody.
const maxFaults = 50

// errEnough stops reading when there is too much wrong.
var errEnough = errors.New("too many faults")

// wrong notes a fault; the error says that there are enough.
func (fs *Faults) wrong(file string, line int, code string, args check.Args) error {
	*fs = append(*fs, Fault{file, line, check.Problem{Severity: check.Error, Code: code, Args: args}})
	if len(*fs) >= maxFaults {
		return errEnough
	}
	return nil
}

// err is the faults as an error, or nil.
func (fs Faults) err() error {
	if len(fs) == 0 {
		return nil
	}
	return fs
}

// fault is a single one.
func fault(file, code string, args check.Args) error {
	var fs Faults
	_ = fs.wrong(file, 0, code, args) // one is not too many
	return fs
}
