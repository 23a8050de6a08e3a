package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"loadscape/cmd/loadscape/internal/document"
)

// Exit codes.
const (
	exitOK     = 0
	exitDanger = 1 // check found a danger
	exitUsage  = 2 // bad usage or bad input
	exitFile   = 3 // a file could not be read or written
)

// errDanger is returned by a command that has given its answer, and the answer
// is that there is danger.
var errDanger = errors.New("danger")

// run runs the program and returns its exit code. Answers go to stdout,
// everything else to stderr.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(stderr, "loadscape: internal error: %v\nPlease report it together with the bench file.\n", r)
			code = exitUsage
		}
	}()
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, errDanger):
		return exitDanger
	}
	fmt.Fprintln(stderr, report(err))
	var file *fs.PathError
	if errors.As(err, &file) {
		return exitFile
	}
	return exitUsage
}

// report returns the error as a user reads it: mistakes of a bench file carry
// their own place, anything else the name of the program.
func report(err error) string {
	text := err.Error()
	var placed *document.Error
	if errors.As(err, &placed) {
		return text
	}
	return "loadscape: " + strings.TrimPrefix(text, "loadscape: ")
}

// told checks arguments as check does, and says how the command is written if
// they are wrong.
func told(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			return fmt.Errorf("%d arguments: expected %s", len(args), strings.TrimSuffix(cmd.UseLine(), " [flags]"))
		}
		return nil
	}
}

// commands are the subcommands, in the order in which the help lists them.
var commands = []func() *cobra.Command{
	newCompare,
	newCheck,
	newCorrect,
	newCurve,
	newLoudness,
	newMeasure,
	newTolerance,
	newDesign,
	newReport,
	newTableCommand,
	newIdentify,
	newNew,
	newVersion,
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "loadscape",
		Short: "What a loud amplifier meets when it is made quiet",
		Long: `loadscape computes, from a bench file, the impedance that an amplifier's output
stage sees with each load, attenuator or cabinet, what the difference does to the
tone, and whether it is safe.

Begin with a bench file of your own:    loadscape new bench.yaml
then ask:                               loadscape compare bench.yaml
                                        loadscape check bench.yaml`,
		SilenceErrors:     true,
		SilenceUsage:      true,
		DisableAutoGenTag: true,
		Version:           version(),
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("there is no command %q%s", args[0], meant(args[0]))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	for _, c := range commands {
		sub := c()
		sub.Args = told(sub.Args)
		root.AddCommand(sub)
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return fmt.Errorf("%w; see %s --help", err, cmd.CommandPath())
	})
	return root
}

// meant returns a hint at the command that a misspelt one probably is.
func meant(word string) string {
	var names []string
	for _, c := range commands {
		names = append(names, c().Name())
	}
	if near := document.Nearest(word, names); near != "" {
		return fmt.Sprintf(": did you mean %q?", near)
	}
	return ""
}
