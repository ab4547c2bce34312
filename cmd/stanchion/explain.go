package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/nearest"
	"example.com/stanchion/internal/quantity"
)

// explainCall is one call of the explain command.
type explainCall struct {
	format  string
	check   string // id, empty for the governing ones or all of the element
	element string // empty for the one that is used most
	walls   wallsOf
}

func explainCommand() *cobra.Command {
	var call explainCall
	cmd := &cobra.Command{
		Use:   "explain FILE",
		Short: "print the working of a check, step by step",
		Long: `explain checks a barrier and prints how a result came about: the load that
governs, the forces of the frame under it, and each step from there to demand
over resistance, with its formula as the source prints it, the values put in,
the clause and how the formula or the value is known. A pocket calculator
follows it.

Alone it tells the governing checks: overall, strength and deflection. --check
tells one check, of the element where it is used most; --element all checks of
one element; both together one check of one element. A rail may be named
without its bay. --at-year tells them on the walls that [exposure] leaves at
that year. A file named - is standard input.

It judges nothing, so that it ends with 0, 2 or 3 whatever the verdict is.

` + exitCodes,
		Example: `  stanchion explain gallery.toml                                        # exit 0
  stanchion explain gallery.toml --check post-shear --element "post 4"  # exit 0
  stanchion explain gallery.toml --element "rail top"                   # exit 0
  stanchion explain gallery.toml --check post-shear --format json       # exit 0

  The first of them prints, among the steps for post 7:
  10  plastic section modulus                 Wpl      6519.75  mm³  derived
      (d³ - (d - 2t)³)/6 = (48.3³ - (48.3 - 2 × 3.2)³)/6
  11  bending resistance                      Mc,Rd    1271.35  Nm   memory
      Wpl fy / γM0 = 6519.75 × 195 / 1; EN 1993-1-1 6.2.5(2) (6.13)
  and at their end 760.1 Nm / 1271.4 Nm = 0.598.`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("no file is given: name a TOML file, or - for standard input")
			case len(args) > 1:
				return fmt.Errorf("explain takes one file, and %d are given: quote a name with a space, as in --element \"post 4\"", len(args))
			}
			if err := knownFormat(call.format); err != nil {
				return err
			}
			if err := call.walls.take(cmd); err != nil {
				return err
			}
			return knownCheck(call.check)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return call.run(cmd.Context(), args[0], cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
		},
		ValidArgsFunction: completeDefinitions(1),
	}
	addFormat(cmd, &call.format)
	call.walls.addWalls(cmd)
	flags := cmd.Flags()
	flags.StringVar(&call.check, "check", "", "`ID` of the check: post-bending, rail-deflection, ...")
	flags.StringVar(&call.element, "element", "", "`ELEMENT` it is of: \"post 4\", \"rail top bay 3\", ...")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("check", completeNames(checkNames))
	_ = cmd.RegisterFlagCompletionFunc("element", func(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) != 1 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return beginning(typed, elementNames(args[0], call.check)), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
	})
	return cmd
}

// knownCheck refuses an id that is not on the list, with the nearest that is.
func knownCheck(id string) error {
	var ids []string
	for _, known := range check.CheckIDs() {
		ids = append(ids, known.ID)
	}
	if id == "" || slices.Contains(ids, id) {
		return nil
	}
	return fmt.Errorf("no check is called %q: %s", id, likely(id, ids, `"stanchion list checks" lists them`))
}

// likely says what a wrong name most likely stands for.
func likely(typed string, names []string, otherwise string) string {
	const edits = 6
	if near := nearest.Names(typed, names, strings.ToLower, edits, 1); len(near) > 0 {
		return fmt.Sprintf("did you mean %q?", near[0])
	}
	return otherwise
}

func (c *explainCall) run(ctx context.Context, file string, stdin io.Reader, stdout, stderr io.Writer) error {
	found := make(chan outcome, 1) // nobody may be waiting any more
	go func() { found <- examine(file, stdin, c.format, &c.walls, check.Options{Trails: true}, c.write) }()
	f, err := await(ctx, found)
	switch {
	case err != nil:
		return err
	case f.err != nil:
		fmt.Fprintln(stderr, explain(f))
		return &ending{code: f.code}
	}
	return handOver("", f.report, "the working", stdout)
}

// write writes the working of what the call asks for.
func (c *explainCall) write(out io.Writer, r *check.Result, units quantity.System) error {
	chosen, notes, err := c.choose(r)
	switch {
	case err != nil:
		return wrong(err)
	case c.format == "json":
		return report.ExplanationJSON(out, r, chosen, notes)
	}
	return report.Explanation(out, r, chosen, notes, report.TextOptions{Units: units})
}

// choose returns the checks that the call asks for, and what is to be said beside them.
func (c *explainCall) choose(r *check.Result) (chosen []report.Explained, notes []string, err error) {
	if c.check == "" && c.element == "" {
		chosen, notes = governing(r)
		return chosen, notes, nil
	}
	for i := range r.Checks {
		if row := &r.Checks[i]; (c.check == "" || row.ID == c.check) && isCalled(row.Element, c.element) {
			chosen = append(chosen, report.Explained{At: i})
		}
	}
	if len(chosen) == 0 {
		return nil, nil, c.unknown(r)
	}
	if c.element == "" && len(chosen) > 1 {
		chosen, notes = mostUsed(r, chosen)
	}
	return chosen, notes, nil
}

// isCalled reports whether an element answers to a name: its own, one without the bay of a
// rail, or none.
func isCalled(element, name string) bool {
	rest, begins := strings.CutPrefix(strings.ToLower(element), strings.ToLower(name))
	return name == "" || begins && (rest == "" || strings.HasPrefix(rest, " bay ") || strings.HasPrefix(rest, " overhang "))
}

// governing are the checks that govern, each once.
func governing(r *check.Result) (chosen []report.Explained, notes []string) {
	for _, g := range []struct {
		of  string
		ref check.CheckRef
	}{{"overall", r.Governing.Overall}, {"strength", r.Governing.Strength}, {"deflection", r.Governing.Deflection}} {
		at := slices.IndexFunc(r.Checks, func(row check.CheckRow) bool { return g.ref.Names(&row) })
		already := slices.IndexFunc(chosen, func(e report.Explained) bool { return e.At == at })
		switch {
		case g.ref.ID == "" || at < 0:
			notes = append(notes, "Nothing governs "+g.of+": it is not checked here.")
		case already >= 0:
			chosen[already].Why += ", " + g.of
		default:
			chosen = append(chosen, report.Explained{At: at, Why: "governs " + g.of})
		}
	}
	return chosen, notes
}

// mostUsed keeps of the elements that have a check the one that is used most.
func mostUsed(r *check.Result, all []report.Explained) (chosen []report.Explained, notes []string) {
	most := slices.MaxFunc(all, func(a, b report.Explained) int { return cmp.Compare(used(&r.Checks[a.At]), used(&r.Checks[b.At])) })
	var others []string
	for _, e := range all {
		if e != most {
			others = append(others, r.Checks[e.At].Element)
		}
	}
	const named = 8
	if more := len(others) - named; more > 0 {
		others = append(others[:named], fmt.Sprintf("%d more", more))
	}
	most.Why = "used most"
	return []report.Explained{most}, []string{"The same check of others (--element): " + strings.Join(others, ", ") + "."}
}

// used is the utilisation of a check, also of one that is not judged.
func used(row *check.CheckRow) float64 {
	switch {
	case row.Utilisation != nil:
		return *row.Utilisation
	case row.Status == check.Fail:
		return math.Inf(1)
	case row.Resistance > 0:
		return row.Demand / row.Resistance
	}
	return 0
}

// unknown says what a call asks for that the barrier does not have.
func (c *explainCall) unknown(r *check.Result) error {
	var elements, ids []string
	for i := range r.Checks {
		row := &r.Checks[i]
		if !slices.Contains(elements, row.Element) {
			elements = append(elements, row.Element)
		}
		if isCalled(row.Element, c.element) && !slices.Contains(ids, row.ID) {
			ids = append(ids, row.ID)
		}
	}
	switch {
	case len(ids) == 0 && c.element != "":
		return fmt.Errorf("no check is of an element called %q: %s", c.element, likely(c.element, elements, "there are "+strings.Join(elements, ", ")))
	case c.element != "":
		return fmt.Errorf("%s has no check %s: it has %s", c.element, c.check, strings.Join(ids, ", "))
	case len(ids) == 0:
		return errors.New("nothing is checked of this barrier")
	}
	return fmt.Errorf("this barrier has no check %s: it has %s", c.check, strings.Join(ids, ", "))
}

// elementNames are the elements of a file that have a check, or that check; none where the
// file cannot be read or checked.
func elementNames(file, id string) []choice {
	var names []choice
	examine(file, strings.NewReader(""), "json", &wallsOf{}, check.Options{}, func(_ io.Writer, r *check.Result, _ quantity.System) error {
		for i := range r.Checks {
			row := &r.Checks[i]
			known := choice{name: row.Element}
			if (id == "" || row.ID == id) && !slices.Contains(names, known) {
				names = append(names, known)
			}
		}
		return nil
	})
	return names
}
