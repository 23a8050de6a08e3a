package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"
)

// starter is the bench file that "loadscape new" writes.
//
//go:embed starter.yaml
var starter []byte

func newNew() *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:     "new [FILE]",
		Short:   "Write a commented bench file to begin with",
		Long:    "new writes a commented bench file with one of everything to FILE, or to standard output.",
		Example: "  loadscape new bench.yaml",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || args[0] == "-" {
				_, err := cmd.OutOrStdout().Write(starter)
				return err
			}
			if _, err := os.Lstat(args[0]); !force && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("%s is there already: choose another name, or replace it with --force", args[0])
			}
			if err := writeFile(args[0], starter); err != nil {
				return err
			}
			_, err := fmt.Fprintf(cmd.ErrOrStderr(), "wrote %s; next: loadscape compare %s\n", args[0], args[0])
			return err
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "replace FILE if it is there already")
	return cmd
}
