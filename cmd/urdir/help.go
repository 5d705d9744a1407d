package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"urdir/check"
)

// help explains a command. It is written out here, and not left to Cobra's
// templates, because those speak English in too many places.
func (a *app) help(c *cobra.Command) {
	about := c.Long
	if about == "" {
		about = c.Short
	}
	fmt.Fprintf(a.out, "%s\n\n", fold(about, helpWidth))
	fmt.Fprintf(a.out, "%s\n  %s\n", a.heading("cli-usage"), a.useLine(c))
	if c.Example != "" {
		fmt.Fprintf(a.out, "\n%s\n%s\n", a.heading("cli-examples"), c.Example)
	}
	if list := a.commandTable(c); len(list.rows) > 0 {
		fmt.Fprintf(a.out, "\n%s\n", a.heading("cli-commands"))
		list.print(a.out)
	}
	everywhere := c.InheritedFlags()
	if !c.HasParent() {
		everywhere = c.PersistentFlags()
	}
	a.flagTable("cli-flags", c.LocalNonPersistentFlags())
	a.flagTable("cli-flags-everywhere", everywhere)
	if c.HasAvailableSubCommands() {
		fmt.Fprintf(a.out, "\n%s\n", a.words.T("cli-more", check.Args{"command": c.CommandPath()}))
	}
}

// helpWidth is the longest line of running text in help.
const helpWidth = 88

func (a *app) heading(key string) string { return a.strong(a.words.T(key, nil)) }

func (a *app) useLine(c *cobra.Command) string {
	use := c.UseLine()
	if c.HasAvailableSubCommands() {
		use += " " + a.words.T("cli-use-command", nil)
	}
	return use + " " + a.words.T("cli-optional", nil)
}

func (a *app) commandTable(c *cobra.Command) table {
	t := table{indent: 2}
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() || sub.Name() == "help" {
			t.add(sub.Name(), sub.Short)
		}
	}
	return t
}

func (a *app) flagTable(key string, flags *pflag.FlagSet) {
	t := table{indent: 2}
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, about := pflag.UnquoteUsage(f)
		name := "    --" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", --" + f.Name
		}
		if f.Value.Type() != "bool" {
			name += " " + value
			if v := strings.Trim(f.DefValue, "[]"); v != "" { // a list comes in brackets
				about += " (" + a.words.T("cli-default", check.Args{"value": v}) + ")"
			}
		}
		t.add(name, about)
	})
	if len(t.rows) > 0 {
		fmt.Fprintf(a.out, "\n%s\n", a.heading(key))
		t.print(a.out)
	}
}

func newHelpCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:                   "help " + a.words.T("cli-help-args", nil),
		Short:                 a.words.T("cli-help", nil),
		DisableFlagsInUseLine: true,
		RunE: func(c *cobra.Command, args []string) error {
			topic, rest, err := c.Root().Find(args)
			if err != nil {
				return err
			}
			if len(rest) > 0 {
				return unknownCommand(topic, rest[0])
			}
			return topic.Help()
		},
	}
}

// arguments accepts between least and most words after a command.
func arguments(least, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return mistake("", "argument-missing", check.Args{"use": c.UseLine(), "command": c.CommandPath()})
		case len(args) > most:
			return mistake("", "arguments-too-many", check.Args{"text": args[most], "command": c.CommandPath()})
		}
		return nil
	}
}

// flagMistake turns what the flag reader says, in English, into a problem.
func flagMistake(c *cobra.Command, err error) error {
	args := check.Args{"command": c.CommandPath()}
	var (
		unknown *pflag.NotExistError
		empty   *pflag.ValueRequiredError
		value   *pflag.InvalidValueError
		syntax  *pflag.InvalidSyntaxError
	)
	switch {
	case errors.As(err, &unknown):
		args["flag"] = "--" + unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			args["flag"] = "-" + unknown.GetSpecifiedName()
		}
		args["known"] = knownFlags(c)
		return mistake("", "flag-unknown", args)
	case errors.As(err, &empty):
		args["flag"] = "--" + empty.GetFlag().Name
		return mistake("", "flag-needs-value", args)
	case errors.As(err, &value):
		args["flag"], args["text"] = "--"+value.GetFlag().Name, value.GetValue()
		return mistake("", "flag-value", args)
	case errors.As(err, &syntax):
		args["text"] = syntax.GetSpecifiedFlag()
		return mistake("", "flag-syntax", args)
	}
	return err
}

func knownFlags(c *cobra.Command) (names []string) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, "--"+f.Name)
		}
	})
	return names
}

// fold breaks running text into lines no longer than width, keeping empty lines.
func fold(text string, width int) string {
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		line := ""
		for word := range strings.FieldsSeq(paragraph) {
			if line != "" && displayWidth(line)+1+displayWidth(word) > width {
				lines = append(lines, line)
				line = ""
			}
			line = strings.TrimPrefix(line+" "+word, " ")
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}
