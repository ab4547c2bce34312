package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
	"github.com/spf13/pflag"
)

// manualCommand is for those who pack the program; help does not list it.
func manualCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "manual FOLDER",
		Short: "write a man page for each command",
		Long: `manual writes the help of each command as a man page into FOLDER, which is made
where it is not there: stanchion.1, stanchion-check.1 and so on. Pages carry the
date of the commit that the program was built from; where the build recorded
none, that of SOURCE_DATE_EPOCH, or today.

` + exitCodes,
		Example: `  stanchion manual man1      # exit 0`,
		Hidden:  true,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("no folder to write the pages into")
			case len(args) > 1:
				return fmt.Errorf("manual takes one folder, got %d", len(args))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			info, _ := debug.ReadBuildInfo()
			if err := writeManual(cmd.Root(), args[0], info); err != nil {
				return wrong(err)
			}
			return nil
		},
	}
}

// writeManual writes the page of a command and of each below it.
func writeManual(root *cobra.Command, folder string, info *debug.BuildInfo) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return unwritable(folder, err)
	}
	for _, cmd := range documented(root) {
		page, err := manPage(cmd, info)
		if err != nil {
			return fmt.Errorf("page of %s: %w", cmd.CommandPath(), err)
		}
		name := strings.ReplaceAll(cmd.CommandPath(), " ", "-") + ".1"
		if err := save(filepath.Join(folder, name), page); err != nil {
			return err
		}
	}
	return nil
}

// documented is a command and all below it that help lists.
func documented(cmd *cobra.Command) []*cobra.Command {
	all := []*cobra.Command{cmd}
	for _, sub := range cmd.Commands() {
		if sub.IsAvailableCommand() {
			all = append(all, documented(sub)...)
		}
	}
	return all
}

// manPage is the man page of a command, in roff. It changes the command, which is of no use for a call
// afterwards.
func manPage(cmd *cobra.Command, info *debug.BuildInfo) ([]byte, error) {
	header := &doc.GenManHeader{Section: "1", Date: committed(info), Source: "stanchion " + version(info), Manual: "stanchion"}
	cmd.InitDefaultHelpFlag()
	cmd.DisableAutoGenTag = true
	cmd.Long = manText(cmd.Long, cmd.LocalFlags())
	var page bytes.Buffer
	err := doc.GenMan(cmd, header, &page)
	return page.Bytes(), err
}

// committed is when the commit was made that the program was built from; nil where the build did not record it.
func committed(info *debug.BuildInfo) *time.Time {
	at, err := time.Parse(time.RFC3339, setting(info, "vcs.time"))
	if err != nil {
		return nil
	}
	return &at
}

// manText is the long text of a help page and the flags as Markdown of the sections of a man page.
func manText(long string, flags *pflag.FlagSet) string {
	about, codes, _ := strings.Cut(long, exitCodes)
	about = strings.Replace(about, caution, "", 1)
	_, table, _ := strings.Cut(exitCodes, "\n")
	return strings.Join([]string{
		manParagraphs(about),
		"# CAUTION", manParagraphs(caution),
		"# OPTIONS", manOptions(flags),
		"# EXIT STATUS", manParagraphs(table + codes),
	}, "\n\n")
}

// manOptions is a list of flags. Each is hidden then, for the pages of cobra would have them once more, by
// their defaults and without the names of their values.
func manOptions(flags *pflag.FlagSet) string {
	var out strings.Builder
	flags.VisitAll(func(flag *pflag.Flag) {
		name, usage := pflag.UnquoteUsage(flag)
		term := "**--" + flag.Name + "**"
		if flag.Shorthand != "" {
			term = "**-" + flag.Shorthand + "**, " + term
		}
		if flag.NoOptDefVal == "" {
			term += " " + name
			if flag.DefValue != "" && flag.DefValue != "0" && flag.DefValue != "[]" {
				usage += fmt.Sprintf(" (default %s)", flag.DefValue)
			}
		}
		fmt.Fprintf(&out, "%s\n: %s\n\n", term, markdown(usage))
		flag.Hidden = true
	})
	return out.String()
}

// tabled is a line of a table of a help page: a term and, two spaces or more behind it, what is said of it.
var tabled = regexp.MustCompile(`^ *(\S.*?)  +(\S.*)$`)

// manParagraphs turns the paragraphs of a help page, and the tables in them, into Markdown.
func manParagraphs(text string) string {
	var out strings.Builder
	inTable := false
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		row := tabled.FindStringSubmatch(line)
		switch {
		case inTable && strings.HasPrefix(line, "   "):
			fmt.Fprintf(&out, "%s\n", markdown(strings.TrimSpace(line)))
		case row != nil:
			fmt.Fprintf(&out, "\n%s\n: %s\n", markdown(row[1]), markdown(row[2]))
		case inTable:
			fmt.Fprintf(&out, "\n%s\n", markdown(line))
		default:
			fmt.Fprintf(&out, "%s\n", markdown(line))
		}
		inTable = row != nil || inTable && strings.HasPrefix(line, "   ")
	}
	return out.String()
}

// marks are the letters that mean something in Markdown.
var marks = regexp.MustCompile("[\\\\`*_\\[\\]<>&]")

// markdown writes words so that Markdown has them as they are.
func markdown(words string) string {
	return marks.ReplaceAllString(words, `\$0`)
}
