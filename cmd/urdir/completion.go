package main

import (
	"slices"

	"github.com/spf13/cobra"

	"urdir/check"
)

var shells = []string{"bash", "zsh", "fish", "powershell"}

func newCompletionCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:                   "completion " + a.words.T("cli-completion-args", nil),
		Short:                 a.words.T("cli-completion", nil),
		Long:                  a.words.T("cli-completion-long", nil),
		Example:               "  source <(urdir completion bash)",
		DisableFlagsInUseLine: true,
		ValidArgs:             shells,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			if !slices.Contains(shells, args[0]) {
				return mistake("", "shell-unknown", check.Args{"text": args[0], "known": shells})
			}
			root := c.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(a.out, true)
			case "zsh":
				return root.GenZshCompletion(a.out)
			case "fish":
				return root.GenFishCompletion(a.out, true)
			}
			return root.GenPowerShellCompletionWithDesc(a.out)
		},
	}
}
