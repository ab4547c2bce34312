package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// checked is what both commands tell of a check, digit by digit.
type checked struct {
	ID, Element, Combination, Load string
	Demand, Resistance             json.Number
	Utilisation                    *json.Number
}

func (c *checked) key() string {
	return strings.Join([]string{c.ID, c.Element, c.Combination, c.Load, c.Demand.String(), c.Resistance.String()}, " ")
}

// The working is of the verdict: explain prints the numbers of check, digit by digit, for
// checks of some examples, and its steps are those of the trails of check.
func TestExplainIsOfTheVerdict(t *testing.T) {
	for _, name := range []string{"gallery", "roof-edge", "screen-house-asd", "mixing-deck"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			file := "../../testdata/" + name + ".toml"
			var report struct {
				Checks []json.RawMessage
				Trails []json.RawMessage
			}
			decode(t, &report, "check", "--trails", "--format", "json", file)
			at, last := map[string]int{}, ""
			for i, raw := range report.Checks {
				var row checked
				unmarshal(t, raw, &row)
				at[row.key()], last = i, row.Element
			}
			told := 0
			for _, element := range []string{"post 1", last, ""} {
				var explained struct {
					Checks []struct{ Check, Trail json.RawMessage }
				}
				arguments := []string{"explain", "--format", "json", file}
				if element != "" {
					arguments = append(arguments, "--element", element)
				}
				decode(t, &explained, arguments...)
				for _, e := range explained.Checks {
					var row checked
					unmarshal(t, e.Check, &row)
					i, known := at[row.key()]
					if !known {
						t.Fatalf("%+v is explained and not checked", row)
					}
					if got, want := compact(t, e.Check), compact(t, report.Checks[i]); got != want {
						t.Errorf("explained is\n%s, checked\n%s", got, want)
					}
					if got, want := compact(t, e.Trail), compact(t, report.Trails[i]); got != want {
						t.Errorf("the working of %s, %s is\n%s, in the report\n%s", row.ID, row.Element, got, want)
					}
					told++
				}
			}
			if told == 0 {
				t.Error("nothing is explained")
			}
		})
	}
}

func decode(t *testing.T, into any, arguments ...string) {
	t.Helper()
	_, stdout, stderr := call("", arguments...)
	if stderr != "" {
		t.Fatalf("%v: %s", arguments, stderr)
	}
	unmarshal(t, []byte(stdout), into)
}

func unmarshal(t *testing.T, data []byte, into any) {
	t.Helper()
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

func compact(t *testing.T, raw json.RawMessage) string {
	t.Helper()
	var out strings.Builder
	for line := range strings.Lines(string(raw)) {
		out.WriteString(strings.TrimSpace(line))
	}
	return out.String()
}

// The help page shows what the command prints.
func TestExplainHelpShowsTheOutput(t *testing.T) {
	_, page, _ := call("", "explain", "--help")
	_, printed, _ := call("", "explain", "../../testdata/gallery.toml")
	_, example, found := strings.Cut(page, "among the steps for post 7:\n")
	example, _, ends := strings.Cut(example, "  and at their end ")
	if !found || !ends || !strings.Contains(printed, example) {
		t.Errorf("the help page shows\n%sand the command prints\n%s", example, printed)
	}
}
