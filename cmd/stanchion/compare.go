package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

// compareCall is one call of the compare command.
type compareCall struct {
	files  [2]string
	format string
	output string // file to write; empty for standard output
}

func compareCommand() *cobra.Command {
	var call compareCall
	cmd := &cobra.Command{
		Use:   "compare A B",
		Short: "put two designs side by side, differences first",
		Long: `compare checks two definitions and puts them side by side: the keys whose values
differ; verdict, what governs, base moment, movement, mass and feet; and each
check by the element that is used most, with the change from A to B. People read
the units of A. One of the two may be -, standard input.

-o FILE writes it whole: FILE is replaced only when it is complete, and is left
as it was after any error.

` + exitCodes,
		Example: `  stanchion compare screen-house-lrfd.toml screen-house-asd.toml    # exit 0
  stanchion compare gallery.toml loading-bay.toml                   # exit 1
  stanchion compare gallery.toml valve-platform.toml --format json  # exit 4
  stanchion compare gallery.toml                                    # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			if err := takeOutput(cmd, &call.output); err != nil {
				return err
			}
			return errors.Join(takeFormat(cmd, &call.format, []string{"text", "json"}, call.output, "json"), call.take(args))
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			return call.run(cmd.Context(), cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: completeDefinitions(2),
	}
	addFormat(cmd, &call.format)
	cmd.Flags().StringVarP(&call.output, "output", "o", "", "write it to this `FILE` instead of standard output")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	return cmd
}

// take keeps the two files.
func (c *compareCall) take(args []string) error {
	switch {
	case len(args) != len(c.files):
		return fmt.Errorf("compare takes two files, got %d: name two TOML files, or one of them and - for standard input", len(args))
	case args[0] == "-" && args[1] == "-":
		return errors.New("standard input (-) can be read once only")
	}
	copy(c.files[:], args)
	return nil
}

// compared is one of the two designs as far as it came.
type compared struct {
	outcome
	design explore.Design
	result *check.Result
	units  quantity.System
}

func (c *compareCall) run(ctx context.Context, stdin io.Reader, stdout, stderr io.Writer) error {
	for _, file := range c.files {
		if err := writable(c.output, file); err != nil {
			return wrong(err)
		}
	}
	var both [2]compared
	code := exitPass
	err := explore.InOrder(ctx, len(c.files), func(i int) compared { return compareOne(c.files[i], stdin) }, func(i int, of compared) error {
		if of.err != nil {
			fmt.Fprintln(stderr, explain(of.outcome))
		}
		code = worse(code, of.code)
		both[i] = of
		return nil
	})
	switch {
	case err != nil && errors.Is(err, ctx.Err()):
		return interrupted()
	case err != nil:
		return err
	case both[0].err != nil || both[1].err != nil:
		return &ending{code: code}
	}
	if err := c.write(&both, stdout); err != nil {
		return err
	}
	if code == exitPass {
		return nil
	}
	return &ending{code: code}
}

// compareOne checks one of the two.
func compareOne(file string, stdin io.Reader) (of compared) {
	defer catch(&of.outcome, file)
	data, err := read(file, stdin)
	if err != nil {
		return compared{outcome: outcome{file: file, code: exitWrong, err: err}}
	}
	d, err := barrier.Parse(file, data)
	if err != nil {
		return compared{outcome: outcome{file: file, code: exitWrong, err: err}}
	}
	r, err := check.Run(d, check.Options{Units: quantity.Metric})
	if err != nil {
		return compared{outcome: outcome{file: file, code: exitOf(err), err: err}}
	}
	return compared{outcome{file: file, code: exitCode(r.Status)}, explore.DesignOf(file, d, r), r, d.Units}
}

// write brings the comparison to where it was asked for.
func (c *compareCall) write(both *[2]compared, stdout io.Writer) error {
	found := explore.Compare(both[0].design, both[1].design, both[0].result, both[1].result)
	var out bytes.Buffer
	var err error
	if c.format == "json" {
		err = report.ComparisonJSON(&out, found)
	} else {
		err = report.ComparisonText(&out, found, report.TextOptions{Units: both[0].units})
	}
	if err != nil {
		return &ending{exitUntrusted, err}
	}
	return handOver(c.output, out.Bytes(), "the comparison", stdout)
}
