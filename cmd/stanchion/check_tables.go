package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
)

// takeTablesTo judges --tables-to, which stands in place of a report.
func (c *checkCall) takeTablesTo(cmd *cobra.Command) error {
	flags := cmd.Flags()
	switch {
	case !flags.Changed("tables-to"):
		return nil
	case c.tablesTo == "":
		return errors.New("--tables-to names no folder")
	case c.output != "":
		return errors.New("--tables-to and -o exclude each other: one writes every table into a folder, the other a report into a file")
	case flags.Changed("table"):
		return errors.New("--tables-to writes every table: leave --table out")
	case flags.Changed("format") && c.format != "csv":
		return fmt.Errorf("--tables-to writes csv and --format says %s: leave one of them out", c.format)
	}
	c.format = "csv"
	return nil
}

// tableFile is the file of a table in a folder.
func tableFile(folder, table string) string { return filepath.Join(folder, table+".csv") }

// folderFor makes the folder of the tables where it is not there, and refuses one in which a table could
// not be replaced, or must not be.
func folderFor(folder, definition string) error {
	info, err := os.Stat(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.Mkdir(folder, 0o777); err != nil {
			return fmt.Errorf("--tables-to: %w", unwritable(folder, err))
		}
	case err != nil:
		return fmt.Errorf("--tables-to: %w", err)
	case !info.IsDir():
		return fmt.Errorf("--tables-to %s: that is a file, name a folder", folder)
	}
	for _, table := range report.Tables() {
		if err := writable(tableFile(folder, table), definition); err != nil {
			return err
		}
	}
	return nil
}

// savedTable is a table as its file has it.
type savedTable struct {
	name string
	text []byte
	err  error
}

// tablesOf makes every table of a result. All are made before one is written.
func tablesOf(file string, r *check.Result) []savedTable {
	var all []savedTable
	for _, name := range report.Tables() {
		var out bytes.Buffer
		err := report.TableCSV(&out, file, r, name)
		all = append(all, savedTable{name, out.Bytes(), err})
	}
	return all
}

// savedTables is the folder that takes the tables of one barrier.
type savedTables string

func (folder savedTables) deliver(f outcome) error {
	for _, t := range f.tables {
		if t.err != nil {
			return &ending{exitUntrusted, fmt.Errorf("table %s: %w", t.name, t.err)}
		}
	}
	if err := folder.save(f.tables); err != nil {
		return wrong(err)
	}
	return nil
}

// save writes every table before the first takes its name, so that a disk that fills up leaves the
// folder as it was.
func (folder savedTables) save(tables []savedTable) error {
	var whole []freshFile
	for _, t := range tables {
		f, err := freshBy(tableFile(string(folder), t.name), func(out io.Writer) error {
			_, err := out.Write(t.text)
			return err
		})
		if err != nil {
			return dropping(whole, err)
		}
		whole = append(whole, f)
	}
	for i, f := range whole {
		if err := f.take(); err != nil {
			return dropping(whole[i+1:], err)
		}
	}
	return nil
}

// dropping leaves nothing of files that were not taken, and adds to an error what stands against that.
func dropping(files []freshFile, err error) error {
	for _, f := range files {
		err = errors.Join(err, f.drop())
	}
	return err
}

func (savedTables) end() error { return nil }
