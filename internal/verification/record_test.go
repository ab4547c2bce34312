package verification

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/internal/golden"
)

const (
	root = "../.."
	page = root + "/testdata/verification.md"
	from = "<!-- verification: from here to the end mark written by go test ./internal/verification -update -->\n"
	to   = "<!-- end of verification -->\n"
)

// kept is a comparison as the record has it, with the test that wrote it.
type kept struct {
	Comparison
	section, theirs, ours string
	test                  string // name of the test
	folder                string // of its package, from the root
}

// parts reads every part of the record.
func parts(t *testing.T) []kept {
	t.Helper()
	var all []kept
	err := filepath.WalkDir(root, func(path string, entry os.DirEntry, err error) error {
		if err != nil || entry.IsDir() || filepath.Ext(path) != ".csv" || filepath.Base(filepath.Dir(path)) != "verification" {
			return err
		}
		all = append(all, part(t, path)...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// part reads the part of the record that one test writes.
func part(t *testing.T, path string) []kept {
	t.Helper()
	text, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer text.Close()
	rows, err := csv.NewReader(text).ReadAll()
	if err != nil || len(rows) < 2 || !slices.Equal(rows[0], columns) {
		t.Fatalf("%s: %v, with %d rows", path, err, len(rows))
	}
	test := strings.TrimSuffix(filepath.Base(path), ".csv")
	folder, err := filepath.Rel(root, filepath.Join(filepath.Dir(path), "../.."))
	if err != nil {
		t.Fatal(err)
	}
	var out []kept
	for _, row := range rows[1:] {
		k := kept{section: row[0], theirs: row[5], ours: row[6], test: test, folder: filepath.ToSlash(folder)}
		k.Comparison = Comparison{Row: row[1], Case: row[2], Source: row[3], Provenance: Provenance(row[4])}
		for _, v := range []struct {
			text string
			to   *float64
		}{{k.theirs, &k.Theirs}, {k.ours, &k.Ours}} {
			if *v.to, err = strconv.ParseFloat(v.text, 64); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
		}
		if wrong := k.judge(); wrong != "" || sectionIndex(k.section) < 0 {
			t.Errorf("%s: section %q: %s", path, k.section, wrong)
		}
		out = append(out, k)
	}
	return out
}

// Every part of the record belongs to a test that is still there.
func TestEveryPartHasItsTest(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range parts(t) {
		part := k.folder + "/testdata/verification/" + k.test + ".csv"
		if seen[part] {
			continue
		}
		seen[part] = true
		files, err := filepath.Glob(filepath.Join(root, k.folder, "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		function := regexp.MustCompile(`(?m)^func ` + k.test + `\(`)
		if !slices.ContainsFunc(files, func(file string) bool {
			text, err := os.ReadFile(file)
			return err == nil && function.Match(text)
		}) {
			t.Errorf("%s has no test", part)
		}
	}
}

// TestRecord holds testdata/verification.md and the lines of README to the parts of the record.
func TestRecord(t *testing.T) {
	all := parts(t)
	slices.SortStableFunc(all, func(a, b kept) int { return cmp.Compare(sectionIndex(a.section), sectionIndex(b.section)) })
	golden.Check(t, page, []byte(head+table(all)))
	golden.CheckBlock(t, root+"/README.md", from, to, summary(all))
}

const head = `# Verification record

Every value from outside the project with which a test compares this program. Written by the tests: the numbers of
each are in ` + "`testdata/verification/`" + ` of its package, and a test that gives others fails.

A row holds all comparisons of one kind; the case beside their number is the one that is furthest off, and all are behind the
name of the test. Of several sources that of this case is the first. *Theirs* is what the source prints, or what its formula
gives, to six figures; the difference is relative to it, and 0 below one part in a million (where theirs is zero it is the
difference itself). How a value is known: *public*, a public page or document was read; *memory*, known and not looked up;
*derived*, arithmetic, statics or a closed form; *common-practice*, a fact of the trade; *program*, worked out by another program
or library. Each difference is within what its test allows: half of the last printed digit, or a bound that stands there with
its reason.
`

// rowsOf returns the comparisons of a section in rows: those of one test that have their row and
// the word for how they are known in common.
func rowsOf(section string, all []kept) (rows [][]kept) {
	for _, k := range all {
		if k.section != section {
			continue
		}
		i := slices.IndexFunc(rows, func(row []kept) bool {
			return row[0].Row == k.Row && row[0].Provenance == k.Provenance && row[0].test == k.test && row[0].folder == k.folder
		})
		if i < 0 {
			i, rows = len(rows), append(rows, nil)
		}
		rows[i] = append(rows[i], k)
	}
	return rows
}

// furthest returns the comparison that is furthest off: by part of theirs, or where that is zero
// for all of them by itself.
func furthest(row []kept) kept {
	return slices.MaxFunc(row, func(a, b kept) int {
		if zeros := cmp.Compare(zero(b), zero(a)); zeros != 0 {
			return zeros
		}
		return cmp.Compare(a.Difference(), b.Difference())
	})
}

func zero(k kept) int {
	if k.Theirs == 0 {
		return 1
	}
	return 0
}

// mostSources is how many sources of a row are written out.
const mostSources = 3

// sources returns the sources of a row, that of the comparison that is furthest off first.
func sources(row []kept) string {
	named := []string{furthest(row).Source}
	for _, k := range row {
		if !slices.Contains(named, k.Source) {
			named = append(named, k.Source)
		}
	}
	if more := len(named) - mostSources; more > 0 {
		named = append(named[:mostSources], fmt.Sprintf("%d more", more))
	}
	return strings.Join(named, " · ")
}

// table writes the record, a table for each section.
func table(all []kept) string {
	var b strings.Builder
	for section := range slices.Values(Sections()) {
		rows := rowsOf(section, all)
		if len(rows) == 0 {
			continue
		}
		fmt.Fprintf(&b, "\n## %s\n\n| what | values | furthest off | source | known | theirs | ours | difference | test |\n|---|---|---|---|---|---|---|---|---|\n", section)
		for _, row := range rows {
			worst := furthest(row)
			fmt.Fprintf(&b, "| %s | %d | %s | %s | %s | %s | %s | %s | %s |\n", cell(worst.Row), len(row), cell(worst.Case), cell(sources(row)), worst.Provenance,
				worst.theirs, worst.ours, worst.off(), worst.link())
		}
	}
	return b.String()
}

// cell keeps a text within its cell.
func cell(s string) string {
	return strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "|", `\|`)
}

// off returns the difference in words: in percent of theirs, or as it is where that is zero.
func (k kept) off() string {
	d := k.Difference()
	switch {
	case d == 0:
		return "0"
	case k.Theirs == 0:
		return strconv.FormatFloat(d, 'g', 2, 64)
	}
	return strconv.FormatFloat(100*d, 'g', 2, 64) + " %"
}

// link returns the name of the test with the way from the record to its numbers.
func (k kept) link() string {
	return fmt.Sprintf("[%s](../%s/testdata/verification/%[1]s.csv)", k.test, k.folder)
}

// summary is what README says: how many, from where, the worst.
func summary(all []kept) string {
	by := map[Provenance]int{}
	exact := 0
	tests := map[string]bool{}
	for _, k := range all {
		by[k.Provenance]++
		tests[k.folder+k.test] = true
		if k.Difference() == 0 {
			exact++
		}
	}
	worst := furthest(all)
	return fmt.Sprintf(`%d values from outside the project are compared by %d tests, and all are in [the record](testdata/verification.md):
%d read on public pages, %d from memory, %d by statics or closed forms, %d of other programs, %d of common practice.
%d agree to a millionth. The furthest off, by %s, is: %s, %s: %s beside %s (%s).
`, len(all), len(tests), by[Public], by[Memory], by[Derived], by[Program], by[Practice], exact, worst.off(), worst.Row, worst.Case, worst.ours, worst.theirs, worst.Source)
}
