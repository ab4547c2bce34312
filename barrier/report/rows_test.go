package report

import (
	"bytes"
	"encoding/csv"
	"os"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// All tables in one have the rows of each, cell by cell by the name of the column, and no others. It is
// read back by the standard library.
func TestAllTablesHaveTheRowsOfEach(t *testing.T) {
	const file = "boiler-gallery.toml"
	data, err := os.ReadFile("../../testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse(file, data)
	if err != nil {
		t.Fatal(err)
	}
	r, err := check.Run(d, check.Options{})
	if err != nil {
		t.Fatal(err)
	}
	read := func(table string) (head []string, rows [][]string) {
		t.Helper()
		var out bytes.Buffer
		if err := TableCSV(&out, file, r, table); err != nil {
			t.Fatal(err)
		}
		c := csv.NewReader(&out)
		c.Comment = '#'
		all, err := c.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return all[0], all[1:]
	}
	head, all := read(AllTables)
	at := map[string]int{}
	for i, name := range head {
		if _, twice := at[name]; twice {
			t.Errorf("column %s stands twice", name)
		}
		at[name] = i
	}
	for _, table := range Tables() {
		columns, rows := read(table)
		for _, row := range rows {
			if len(all) == 0 {
				t.Fatalf("a row of %s is missing", table)
			}
			given := 0
			for i, name := range columns {
				if got := all[0][at[name]]; got != row[i] {
					t.Errorf("%s: %s is %q, in its own table %q", table, name, got, row[i])
				}
				if row[i] != "" {
					given++
				}
			}
			if all[0][0] != table {
				t.Errorf("a row of %s is called %q", table, all[0][0])
			}
			for _, cell := range all[0][1:] {
				if cell != "" {
					given--
				}
			}
			if given != 0 {
				t.Errorf("a row of %s has %d cells too few", table, given)
			}
			all = all[1:]
		}
	}
	if len(all) > 0 {
		t.Errorf("%d rows too many", len(all))
	}
}
