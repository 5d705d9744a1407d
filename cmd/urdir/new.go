package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/examples"
)

func newNewCommand(a *app) *cobra.Command {
	w := a.words
	return &cobra.Command{
		Use:                   "new " + w.T("new-args", nil),
		Short:                 w.T("new-about", nil),
		Long:                  w.T("new-about-long", check.Args{"kinds": examples.Kinds}),
		Example:               "  urdir new scarf bufanda.yaml\n  urdir plan bufanda.yaml",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 2),
		ValidArgs:             examples.Kinds,
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(examples.Kinds, args[0]) {
				return mistake("", "kind-unknown", check.Args{"text": args[0], "known": examples.Kinds})
			}
			text, err := a.starting(args[0])
			if err != nil {
				return err
			}
			if len(args) == 1 {
				_, err := a.out.WriteString(text)
				return err
			}
			return a.writeNew(args[1], text)
		},
	}
}

// writeNew never overwrites: a cloth file is someone's work.
func (a *app) writeNew(name, text string) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return mistake("", "file-exists", check.Args{"file": name})
	}
	if err == nil {
		_, err = f.WriteString(text)
		err = errors.Join(err, f.Close())
	}
	if err != nil {
		return mistake("", "file-unwritable", check.Args{"file": name, "reason": err.Error()})
	}
	fmt.Fprintln(a.out, a.words.T("new-written", check.Args{"file": name}))
	return nil
}

// sections are the fields of a cloth file that a starting file explains, with
// the key of the explanation.
var sections = map[string]string{
	"name": "new-name", "order": "new-order", "class": "new-class", "weft": "new-weft", "shrinkage": "new-shrinkage",
	"yarns": "new-yarns", "figures": "new-figures", "warps": "new-warps", "panels": "new-panels",
	"join": "new-join", "kit": "new-kit", "frame": "new-frame",
}

// What is the example's own and not a beginner's: for whom it was, its story,
// and, where Spanish is not spoken, Spanish names of yarns.
var (
	customer = regexp.MustCompile(`(?m)^  customer: .*$`)
	note     = regexp.MustCompile(`(?m)^note: .*\n(  .*\n)*`)
	label    = regexp.MustCompile(`label: [^,}]*, *`)
	item     = regexp.MustCompile(`item: ([^/,]*) / ([^,]*),`) // in both languages
)

// starting is the example of a kind, explained section by section in the
// language of the program.
func (a *app) starting(kind string) (string, error) {
	text, err := fs.ReadFile(examples.Files, kind+".yaml")
	if err != nil {
		return "", err
	}
	body := note.ReplaceAllString(string(text), "")
	body = customer.ReplaceAllString(body, "  # customer: ")
	if a.words.Base != "es" {
		body = label.ReplaceAllString(body, "")
		body = item.ReplaceAllString(body, "item: $1,")
	}
	body = item.ReplaceAllString(body, "item: $2,")
	var out strings.Builder
	a.remark(&out, "new-head")
	for line := range strings.Lines(body) {
		if strings.HasPrefix(strings.TrimSpace(line), "#") && !strings.HasPrefix(line, "  # customer") {
			continue // the example's own remarks
		}
		key, _, _ := strings.Cut(line, ":")
		if words, ok := sections[key]; ok {
			if key == "name" {
				line = "name: " + a.words.T("kind-"+kind, nil) + "\n"
			}
			text := strings.TrimRight(out.String(), "\n")
			out.Reset()
			out.WriteString(text + "\n\n")
			a.remark(&out, words)
		}
		out.WriteString(line)
	}
	return out.String(), nil
}

// remark writes words as lines of comment.
func (a *app) remark(out *strings.Builder, key string) {
	for line := range strings.SplitSeq(fold(a.words.T(key, nil), 78), "\n") {
		out.WriteString(strings.TrimRight("# "+line, " ") + "\n")
	}
}
