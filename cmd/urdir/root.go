package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"urdir/check"
	"urdir/internal/lang"
)

// commands is every command, in the order help lists them.
var commands = []func(*app) *cobra.Command{
	newPlanCommand,
	newCheckCommand,
	newDrawCommand,
	newNewCommand,
	newYarnCommand,
	newDyeCommand,
	newColourCommand,
	newScheduleCommand,
	newPromiseCommand,
	newQuoteCommand,
	newPayCommand,
	newBooksCommand,
	newCardsCommand,
	newServeCommand,
	newBackupCommand,
	newRestoreCommand,
	newExportCommand,
	newImportCommand,
	newWorkshopCommand,
	newDoctorCommand,
	newCompletionCommand,
}

// What the program tells the shell.
const (
	exitGood    = 0 // also with cautions
	exitBroken  = 1 // not the user's doing; of doctor, something is wrong
	exitMistake = 2 // errors in what the user wrote
)

// errTold stops a command that has printed its problems already.
var errTold = errors.New("told")

// app is what every command needs.
type app struct {
	words       *lang.Words
	in          io.Reader
	out         *bufio.Writer
	errOut      io.Writer
	json, plain bool        // --json, --no-colour
	bold        func() bool // whether to set text in bold
}

func init() {
	cobra.EnableCommandSorting = false
	cobra.MousetrapHelpText = "" // it would speak English to whoever clicks on the program
}

// run is the whole program, but for leaving it.
func run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer, env func(string) string) int {
	a := &app{in: in, out: bufio.NewWriter(out), errOut: errOut}
	a.bold = func() bool {
		return !a.plain && env("NO_COLOR") == "" && env("TERM") != "dumb" && isTerminal(out)
	}
	err := a.chooseLanguage(args, env)
	if a.words == nil {
		fmt.Fprintln(errOut, err)
		return exitBroken
	}
	if err == nil {
		root := newRoot(a)
		root.SetArgs(args)
		root.SetIn(in)
		root.SetOut(a.out)
		root.SetErr(errOut)
		err = root.ExecuteContext(ctx)
	}
	code := a.finish(err)
	if err := a.out.Flush(); err != nil { // a full disk must not look like success
		return a.finish(err)
	}
	return code
}

// finish prints what stopped the program, if anything, and gives its exit code.
func (a *app) finish(err error) int {
	var found stopped
	switch {
	case err == nil:
		return exitGood
	case errors.Is(err, errTold):
		return exitMistake
	case errors.Is(err, errIll):
		return exitBroken
	case errors.As(err, &found) && a.json:
		if broken := a.printJSON(map[string]any{"problems": a.problems(found)}); broken != nil {
			return a.finish(broken)
		}
		return exitMistake
	case errors.As(err, &found):
		a.tell(found)
		return exitMistake
	}
	a.tell([]located{{Problem: check.Problem{Code: "unexpected", Args: check.Args{"reason": err.Error()}}}})
	return exitBroken
}

// chooseLanguage settles the words before any command is made, because the
// commands hold words themselves: --lang first, then what the environment says.
func (a *app) chooseLanguage(args []string, env func(string) string) error {
	asked := askedLanguage(args)
	if asked != "" {
		w, err := lang.For(asked)
		if err == nil {
			a.words = w
			return nil
		}
	}
	w, err := lang.For(lang.Detect(env("LC_ALL"), env("LC_MESSAGES"), env("LANG")))
	if err != nil {
		return err
	}
	a.words = w
	if asked != "" {
		return mistake("--lang", "language-unknown", check.Args{"text": asked, "known": lang.Languages})
	}
	return nil
}

// askedLanguage is the last value of --lang, as the flags will read it.
func askedLanguage(args []string) (asked string) {
	for i, arg := range args {
		if arg == "--" {
			break
		}
		if v, ok := strings.CutPrefix(arg, "--lang="); ok {
			asked = v
		} else if arg == "--lang" && i+1 < len(args) {
			asked = args[i+1]
		}
	}
	return asked
}

func newRoot(a *app) *cobra.Command {
	w := a.words
	root := &cobra.Command{
		Use:           "urdir",
		Short:         w.T("cli-about", nil),
		Version:       version(),
		SilenceErrors: true, SilenceUsage: true,
		DisableFlagsInUseLine:      true,
		SuggestionsMinimumDistance: 2,
		CompletionOptions:          cobra.CompletionOptions{DisableDefaultCmd: true},
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(c, args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	everywhere := root.PersistentFlags()
	everywhere.String("lang", "", w.T("cli-flag-lang", nil))
	everywhere.BoolVar(&a.json, "json", false, w.T("cli-flag-json", nil))
	everywhere.BoolVar(&a.plain, "no-color", false, w.T("cli-flag-no-color", nil))
	everywhere.BoolP("help", "h", false, w.T("cli-flag-help", nil))
	root.Flags().Bool("version", false, w.T("cli-flag-version", nil))
	root.SetVersionTemplate("urdir {{.Version}}\n")
	root.SetFlagErrorFunc(flagMistake)
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { a.help(c) })
	for _, make := range commands {
		root.AddCommand(make(a))
	}
	root.SetHelpCommand(newHelpCommand(a))
	return root
}

// unknownCommand names the commands there are, and the likeliest.
func unknownCommand(c *cobra.Command, text string) error {
	var known []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			known = append(known, sub.Name())
		}
	}
	return mistake("", "command-unknown", check.Args{"text": text, "known": known, "near": strings.Join(c.SuggestionsFor(text), ", ")})
}

// version is what the build recorded of the source.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// printJSON prints a result for other programs.
func (a *app) printJSON(v any) error {
	b, err := marshal(v)
	if err != nil {
		return fmt.Errorf("JSON of the result: %w", err)
	}
	_, err = a.out.Write(b)
	return err
}
