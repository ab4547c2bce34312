package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"text/template"

	"github.com/spf13/cobra"
)

// newCall is one call of the new command.
type newCall struct {
	basis, units string
	output       string // file to write; empty for standard output
}

func newCommand() *cobra.Command {
	var call newCall
	cmd := &cobra.Command{
		Use:   "new",
		Short: "write a commented definition to begin with",
		Long: `new writes the definition of a barrier that checks as it stands, with remarks on
what each key means: posts, two rails, a load of a code of the basis. The values
are invented; those of the drawing go in their place. Fittings and feet are left
out of its scope, and the file says how to bring them in.

-o FILE writes it to a new file. One that is there already is never replaced.

It judges nothing, so that it ends with 0 or 2.

` + exitCodes,
		Example: `  stanchion new                                          # exit 0
  stanchion new --basis AISC-ASD -o walkway.toml         # exit 0
  stanchion new --basis CSA --units US                   # exit 0
  stanchion new --basis EC3                              # exit 2
  stanchion new -o gallery.toml                          # exit 2`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("new takes no file, got %q: write -o %s", args[0], args[0])
			}
			return errors.Join(takeOutput(cmd, &call.output), call.take())
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return call.run(cmd.OutOrStdout()) },
	}
	flags := cmd.Flags()
	flags.StringVar(&call.basis, "basis", "EN", "design `BASIS`: "+orOf(beginningBases()))
	flags.StringVar(&call.units, "units", "", "`UNITS` of the values: metric or US (default of the basis)")
	flags.StringVarP(&call.output, "output", "o", "", "write it to this new `FILE` instead of standard output")
	// They err only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("basis", completeNames(func() []choice { return choices(beginningBases()) }))
	_ = cmd.RegisterFlagCompletionFunc("units", completeNames(func() []choice { return choices([]string{"metric", "US"}) }))
	_ = cmd.RegisterFlagCompletionFunc("output", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault))
	return cmd
}

// beginningBarrier is the barrier that new writes.
type beginningBarrier struct {
	Basis, Units                     string
	Length, Spacing, Height, Middle  string
	ToeHeight, ToeGap, Zero, Stock   string
	TopSplice, MiddleSplice          string
	SoftFoot, Foot, Line, Deflection string
	PostTube, RailTube, Grade        string
	Loads                            []beginningLoad
}

type beginningLoad struct{ Schedule, Occupancy string }

func beginningBases() []string { return []string{"EN", "AISC-LRFD", "AISC-ASD", "AS", "CSA"} }

// beginningOf returns the barrier of a basis, its values round in the units.
func beginningOf(basis, units string) *beginningBarrier {
	b := &beginningBarrier{
		Basis: basis, Units: units, Length: "7.5 m", Spacing: "1.25 m", Height: "1100 mm", Middle: "600 mm",
		ToeHeight: "120 mm", ToeGap: "6 mm", Zero: "0 mm", Stock: "6 m", TopSplice: "4.8 m", MiddleSplice: "2.8 m",
		SoftFoot: "60 kNm/rad", Foot: "150 kNm/rad", Line: "0.5 kN/m", Deflection: "30 mm",
	}
	if units == "US" {
		b.Length, b.Spacing, b.Height, b.Middle = "24 ft", "4 ft", "44 in", "24 in"
		b.ToeHeight, b.ToeGap, b.Zero, b.Stock, b.TopSplice, b.MiddleSplice = "5 in", "1/4 in", "0 in", "21 ft", "15 ft", "9 ft"
		b.SoftFoot, b.Foot, b.Line, b.Deflection = "45 kip-ft/rad", "110 kip-ft/rad", "35 lbf/ft", "1-1/8 in"
	}
	switch basis {
	case "EN":
		b.PostTube, b.RailTube, b.Grade = "EN 10255 DN40 medium", "EN 10255 DN40 medium", "S195T"
		b.Loads = []beginningLoad{{"EN ISO 14122-3", ""}}
	case "AS":
		b.PostTube, b.RailTube, b.Grade = "AS/NZS 1163 48.3x3.2", "AS/NZS 1163 42.4x3.2", "C350L0"
		b.Loads = []beginningLoad{{"AS 1657:2018", ""}}
		b.Height, b.Middle = "1000 mm", "550 mm"
		if units == "US" {
			b.Height, b.Middle = "40 in", "22 in"
		}
	case "CSA":
		b.PostTube, b.RailTube, b.Grade = "ASTM A500 1.900x0.188", "ASTM A500 1.900x0.145", "Grade C to 2018"
		b.Loads = []beginningLoad{{"NBC 2010-2020", "industrial"}}
	default:
		b.PostTube, b.RailTube, b.Grade = "ASTM A53 NPS 1-1/2 XS", "ASTM A53 NPS 1-1/2 STD", "Grade B"
		b.Loads = []beginningLoad{{"29 CFR 1910.29", ""}}
	}
	return b
}

// take judges the flags.
func (c *newCall) take() error {
	if !slices.Contains(beginningBases(), c.basis) {
		return fmt.Errorf("unknown basis %q: write %s", c.basis, orOf(beginningBases()))
	}
	switch {
	case c.units == "" && strings.HasPrefix(c.basis, "AISC"):
		c.units = "US"
	case c.units == "":
		c.units = "metric"
	case c.units != "metric" && c.units != "US":
		return fmt.Errorf("unknown units %q: write metric or US", c.units)
	}
	return nil
}

//go:embed templates/definition.toml
var beginningText string

var beginningTemplate = sync.OnceValue(func() *template.Template {
	// pad brings the remark behind a value to its column.
	pad := func(value string, wide int) string { return strings.Repeat(" ", max(1, wide+4-len(value))) }
	return template.Must(template.New("definition").Funcs(template.FuncMap{"pad": pad}).Parse(beginningText))
})

func (c *newCall) run(stdout io.Writer) error {
	var text bytes.Buffer
	if err := beginningTemplate().Execute(&text, beginningOf(c.basis, c.units)); err != nil {
		return &ending{exitUntrusted, err}
	}
	if c.output != "" {
		return saveNew(c.output, text.Bytes())
	}
	if _, err := stdout.Write(text.Bytes()); err != nil {
		return wrong(fmt.Errorf("writing the definition: %w", err))
	}
	return nil
}

// saveNew writes a file that is not there yet.
func saveNew(name string, data []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	folder := filepath.Dir(name)
	switch info, statErr := os.Stat(folder); {
	case err == nil:
	case errors.Is(err, fs.ErrExist):
		return wrong(fmt.Errorf("-o %s: it is there already and is left as it is; name a new file", name))
	case statErr != nil || !info.IsDir():
		return wrong(fmt.Errorf("-o %s: there is no folder %s", name, folder))
	default:
		return wrong(unwritable(name, err))
	}
	_, err = file.Write(data)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return wrong(errors.Join(unwritable(name, err), os.Remove(name)))
	}
	return nil
}
