package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
)

// SweepTable writes a sweep, a line for each variant: as CSV, or as JSON lines. A first part, the
// head, names what is swept, so that a file that was begun can be told from that of another sweep.
type SweepTable struct {
	sweep  *explore.Sweep
	file   string   // base name of the definition
	vary   []string // as written
	checks []string // ids that have a column each
	lines  bool     // JSON lines
	mark   string   // of the definition, what is varied, and the columns
}

// SweepOptions says how a sweep is written.
type SweepOptions struct {
	JSONLines bool
	Checks    []string // ids of checks whose utilisations stand in further columns of CSV
}

// NewSweepTable returns the table of a sweep. File and data are name and bytes of its definition,
// vary are its flags.
func NewSweepTable(s *explore.Sweep, file string, data []byte, vary []string, o SweepOptions) *SweepTable {
	t := &SweepTable{sweep: s, file: filepath.Base(file), vary: vary, checks: o.Checks, lines: o.JSONLines}
	if o.JSONLines {
		t.checks = nil
	}
	hash := sha256.New()
	for _, part := range slices.Concat([]string{"sweep 1", string(data)}, vary, t.columns()) {
		fmt.Fprintf(hash, "%d:%s", len(part), part)
	}
	t.mark = fmt.Sprintf("%x", hash.Sum(nil)[:8])
	return t
}

// columns are the names of the columns of CSV.
func (t *SweepTable) columns() []string {
	var names []string
	for _, v := range t.sweep.Vary {
		names = append(names, v.Key)
	}
	names = append(names, "status", "scope_complete", "utilisation", "governing_check", "governing_element",
		"strength_utilisation", "deflection_utilisation", "base_moment_Nm", "base_uplift_N", "fitting_slip_N", "deflection_mm",
		"feet", "longest_bay_m", "unchecked", "note")
	for _, id := range t.checks {
		names = append(names, "utilisation "+id)
	}
	return names
}

// sweepHead is the first of the JSON lines.
type sweepHead struct {
	Cautions []check.Caution `json:"cautions"`
	Sweep    string          `json:"sweep"` // mark of the definition and of what is varied
	File     string          `json:"file"`
	Vary     []string        `json:"vary"`
	Variants int             `json:"variants"`
}

// Head returns what stands before the first row: in CSV comment lines with caution C1 and the
// mark of the sweep, and the header; in JSON lines one object with the same.
func (t *SweepTable) Head() ([]byte, error) {
	var b bytes.Buffer
	if t.lines {
		c1 := check.Caution{ID: "C1", Text: check.PreCheck, Triggered: true}
		err := jsonLine(&b, sweepHead{[]check.Caution{c1}, t.mark, t.file, t.vary, t.sweep.Len()})
		return b.Bytes(), err
	}
	var about strings.Builder
	fmt.Fprintf(&about, "sweep %s of %s, %d variants:", t.mark, t.file, t.sweep.Len())
	for _, flag := range t.vary {
		about.WriteString(" --vary " + strconv.Quote(flag))
	}
	err := NewCSVAbout(&b, []string{about.String()}, t.columns()...).Flush()
	return b.Bytes(), err
}

// Row returns the line of one variant.
func (t *SweepTable) Row(v *explore.Variant) ([]byte, error) {
	var b bytes.Buffer
	if t.lines {
		err := jsonLine(&b, v)
		return b.Bytes(), err
	}
	var cells []any
	for _, in := range v.Values {
		cells = append(cells, in.Text)
	}
	cells = append(cells, v.Status, v.ScopeComplete, v.Utilisation, v.GoverningCheck, v.GoverningElement,
		v.StrengthUtilisation, v.DeflectionUtilisation, v.BaseMoment, v.BaseUplift, v.Slip, v.Deflection,
		v.Feet, v.LongestBay, v.Unchecked, v.Note)
	for _, id := range t.checks {
		var utilisation *float64
		if i := slices.IndexFunc(v.Checks, func(c explore.CheckWorst) bool { return c.ID == id }); i >= 0 {
			utilisation = v.Checks[i].Utilisation
		}
		cells = append(cells, utilisation)
	}
	rows := ContinueCSV(&b, len(cells))
	rows.Row(cells...)
	err := rows.Flush()
	return b.Bytes(), err
}

// jsonLine writes a value as JSON on one line, by the rules of JSON.
func jsonLine(b *bytes.Buffer, v any) error {
	var long bytes.Buffer
	if err := writeJSON(&long, v); err != nil {
		return err
	}
	if err := json.Compact(b, long.Bytes()); err != nil {
		return err
	}
	return b.WriteByte('\n')
}

// ErrOtherSweep says that a file is not that of the sweep.
var ErrOtherSweep = errors.New("it is that of another sweep, or of a definition that has changed since")

// ReadHead judges what a file that was begun starts with: it is the head, whole. A file
// that ends within its head has whole false; anything else is an error, ErrOtherSweep where it is
// the head of another sweep.
func (t *SweepTable) ReadHead(start []byte) (whole bool, err error) {
	head, err := t.Head()
	switch {
	case err != nil:
		return false, err
	case bytes.HasPrefix(start, head):
		return true, nil
	case len(start) < len(head) && bytes.HasPrefix(head, start):
		return false, nil
	case bytes.Contains(start, []byte("sweep")) && !bytes.Contains(start, []byte(t.mark)):
		return false, ErrOtherSweep
	}
	return false, errors.New("it does not begin as the file of this sweep does")
}

// ReadRow judges a line of a file that was begun, without its line end, as the row of a variant
// from 0, and returns the status that it tells. A line that is cut short is judged by as much as
// is there. The error says in what it is not that row.
func (t *SweepTable) ReadRow(i int, line []byte, cut bool) (check.Status, error) {
	begin, err := t.begin(i)
	if err != nil {
		return "", err
	}
	if n := min(len(begin), len(line)); !bytes.Equal(begin[:n], line[:n]) || !cut && n < len(begin) {
		return "", fmt.Errorf("it begins with %.60q, and this sweep has %.60q there", line, begin)
	}
	if cut {
		return "", nil
	}
	status := ""
	if t.lines {
		var row struct {
			Status string `json:"status"`
		}
		err = json.Unmarshal(line, &row)
		status = row.Status
	} else {
		var cells []string
		cells, err = csv.NewReader(bytes.NewReader(line)).Read()
		if n := len(t.columns()); err == nil && len(cells) != n {
			err = fmt.Errorf("it has %d cells of %d", len(cells), n)
		}
		if err == nil {
			status = cells[len(t.sweep.Vary)]
		}
	}
	if err == nil && !slices.Contains([]check.Status{check.Pass, check.Fail, check.Incomplete, explore.Refused, explore.NotTrusted}, check.Status(status)) {
		err = fmt.Errorf("%q is no status", status)
	}
	return check.Status(status), err
}

// begin returns how the line of a variant begins: with its values.
func (t *SweepTable) begin(i int) ([]byte, error) {
	values := t.sweep.Values(i)
	var b bytes.Buffer
	if t.lines {
		var in check.Inputs
		for k, v := range t.sweep.Vary {
			in = append(in, check.Input{Key: v.Key, Text: values[k]})
		}
		err := jsonLine(&b, &explore.Variant{Values: in})
		whole := strings.TrimSuffix(b.String(), "\n")
		begin, _, _ := strings.Cut(whole, `"status":""`)
		return []byte(begin + `"status":"`), err
	}
	cells := make([]any, len(values), len(values)+1)
	for k := range values {
		cells[k] = values[k]
	}
	rows := ContinueCSV(&b, len(cells)+1) // one that is empty puts a comma behind the last
	rows.Row(append(cells, nil)...)
	err := rows.Flush()
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}
