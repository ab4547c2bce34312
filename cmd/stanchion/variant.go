package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier"
)

// variants is what a command that checks variants of one barrier reads first: its file, and the
// barrier as it stands.
type variants struct {
	data  []byte
	doc   *barrier.Document
	asWas *barrier.Definition
}

// readVariants reads the one file of a call. The error ends the call.
func readVariants(file string, stdin io.Reader) (*variants, error) {
	v, err := readDocument(file, stdin)
	if err == nil {
		v.asWas, err = v.doc.Definition()
	}
	if err != nil {
		return nil, wrong(err)
	}
	return v, nil
}

// readDocument reads a file whose own barrier may be wrong. The error ends the call.
func readDocument(file string, stdin io.Reader) (*variants, error) {
	if info, err := os.Stat(file); file != "-" && err == nil && info.IsDir() {
		return nil, wrong(fmt.Errorf("%s is a folder: name one TOML file", file))
	}
	data, err := read(file, stdin)
	if err != nil {
		return nil, wrong(err)
	}
	doc, err := barrier.Read(file, data)
	if err != nil {
		return nil, wrong(err)
	}
	return &variants{data: data, doc: doc}, nil
}

// noReport ends a call whose calculation gave no result.
func noReport(file string, err error) error {
	code := exitOf(err)
	if code == exitUntrusted {
		err = fmt.Errorf("%s: no report: %w", file, err)
	}
	return &ending{code, err}
}

// takeFile keeps the one file of a call. Where there are several the fix says what else may have
// been meant.
func takeFile(file *string, args []string, command, fix string) error {
	switch len(args) {
	case 0:
		return errors.New("no file is given: name a TOML file, or - for standard input")
	case 1:
		*file = args[0]
		return nil
	}
	return fmt.Errorf("%s takes one file, and %d are given: %s", command, len(args), fix)
}

// takeOutput judges the -o of a call: "-" is standard output, as it is without one.
func takeOutput(cmd *cobra.Command, output *string) error {
	if cmd.Flags().Changed("output") && *output == "" {
		return errors.New("-o names no file: write -o FILE, or -o - for standard output")
	}
	if *output == "-" {
		*output = ""
	}
	return nil
}

// takeFormat judges the --format of a call, one of some. Where it is left out the name of the
// output says it, if it ends in one of some kinds.
func takeFormat(cmd *cobra.Command, format *string, formats []string, output string, kinds ...string) error {
	if !slices.Contains(formats, *format) {
		return fmt.Errorf("unknown format %q: write %s", *format, orOf(formats))
	}
	kind, said := endingOf(output), cmd.Flags().Changed("format")
	switch {
	case kind == *format:
		return nil
	case !slices.Contains(kinds, kind) && said:
		return nil
	case !slices.Contains(kinds, kind):
		return promised(output, kind)
	case said:
		return fmt.Errorf("-o %s is %s and --format says %s: leave one of them out", output, kind, *format)
	}
	*format = kind
	return nil
}

// orOf joins words: text, json or csv.
func orOf(words []string) string {
	last := len(words) - 1
	if last == 0 {
		return words[0]
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
