package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

func TestListsHold80Columns(t *testing.T) {
	for _, args := range [][]string{
		{"tubes"}, {"tubes", "--units", "US"}, {"grades"}, {"grades", "--units", "US"},
		{"schedules"}, {"schedules", "--units", "US"}, {"checks"},
	} {
		_, stdout, _ := call("", append([]string{"list"}, args...)...)
		for line := range strings.Lines(stdout) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("list %s: %d columns: %s", strings.Join(args, " "), n, line)
			}
		}
	}
}

// Values of lists in both systems against printed ones.
func TestListedValues(t *testing.T) {
	for _, c := range []struct {
		list   func([]string, quantity.System) catalogue
		words  string
		system quantity.System
		want   string // the cells after the name, "~" for one that no source is given for
		source string
	}{
		{tubes, "asme b36.10m nps 1-1/2 sch 40", quantity.US, "1.900 0.145 2.72 0.310 0.326 ~ public",
			"Schedule 40 pipe of a textbook table: 1.900 x 0.145 in, 2.718 lb/ft, I 0.3099 in4, S 0.3262 in3"},
		{tubes, "en 10219 48.3x3.2", quantity.Metric, "48.30 3.20 3.56 11.59 4.80 6.52 ~",
			"EN 10219-2: 3.56 kg/m, I 11.6 cm4, Wel 4.80 cm3, Wpl 6.52 cm3 (from memory); 11.59 = π(4.83⁴-4.19⁴)/64"},
		{grades, "s195t", quantity.US, "~ ~ 28.3 46.4 ~ ~",
			"EN 10255: 195 and 320 MPa, over 6.894757 MPa/ksi 28.28 and 46.41"},
		{schedules, "14122 2016", quantity.US, "- - - 20.6 - - 1.18 public",
			"EN ISO 14122-3: 300 N per m is 300 x 0.3048/4.448222 = 20.56 lbf per ft; 30 mm / 25.4 = 1.181 in"},
		{schedules, "UK viii", quantity.Metric, "740 - 500 - 1000 1.10 25 ~",
			"PD 6688-1-1, as the table has it: 0.74 kN/m, 0.5 kN, 1.0 kN/m2, 1.1 m, 25 mm"},
		{schedules, "13374", quantity.Metric, "- - - - - - 55 memory",
			"EN 13374: 55 mm (from memory)"},
		{schedules, "1170.1 c5", quantity.US, "205.6 134.9 337.2 - 31.3 - - memory",
			"AS/NZS 1170.1 C5: 3.0 kN/m, 0.6 kN, 1.5 kN and 1.5 kPa over 14.5939 N/m per lbf/ft, 4.448222 N per lbf and 47.88026 Pa per psf"},
	} {
		found := c.list(strings.Fields(strings.ToLower(c.words)), c.system)
		if len(found.sheet.rows) != 1 {
			t.Errorf("%q finds %d rows, want one", c.words, len(found.sheet.rows))
			continue
		}
		got := found.sheet.rows[0].cells[1:]
		for i, want := range strings.Fields(c.want) {
			if want != "~" && got[i] != want {
				t.Errorf("%q in %s: %q, want %q in place %d (source: %s)", c.words, c.system, got, want, i, c.source)
			}
		}
	}
}

func TestEmptyColumnIsLeftOut(t *testing.T) {
	_, some, _ := call("", "list", "schedules", "--match", "14122")
	if strings.Contains(some, "psf") || strings.Contains(some, "area") || !strings.Contains(some, "limit") {
		t.Errorf("EN ISO 14122-3 has a limit and no load on an area, and the list is\n%s", some)
	}
}

func TestBroken(t *testing.T) {
	for text, want := range map[string]string{
		"":                            "",
		"one":                         "one",
		"BS 1139-1.2 / EN 12811":      "BS 1139-1.2 /|EN 12811",
		"longer-than-the-width as is": "longer-than-the-width|as is",
	} {
		if got := strings.Join(broken(text, 14), "|"); got != want {
			t.Errorf("broken(%q, 14) = %q, want %q", text, got, want)
		}
	}
}

// Every listed name can be completed.
func TestCompletedNamesAreThoseOfTheLists(t *testing.T) {
	for _, c := range []struct {
		name     string
		choices  []choice
		complete func(string) bool
	}{
		{"tubes", tubeNames(), func(name string) bool { _, err := sections.FindTube(name); return err == nil }},
		{"schedules", scheduleNames(), func(name string) bool {
			_, err := loads.FindSchedule(name, "")
			return err == nil
		}},
		{"grades", gradeNames(), func(name string) bool {
			_, out, _ := call("", "list", "grades", "--match", name)
			return out != ""
		}},
		{"coatings", coatingNames(), func(name string) bool { _, err := sections.FindCoating(name, 3e-3); return err == nil }},
		{"corrosivity", corrosivityNames(), func(name string) bool { _, ok := sections.FindCorrosivity(name); return ok }},
	} {
		if len(c.choices) == 0 {
			t.Errorf("no %s to complete", c.name)
		}
		for _, choice := range c.choices {
			if !c.complete(choice.name) {
				t.Errorf("%s: %q is completed and not found", c.name, choice.name)
			}
		}
	}
	if got, want := len(tubeNames()), len(sections.Tubes()); got != want {
		t.Errorf("%d tubes are completed, %d are listed", got, want)
	}
	if got, want := len(scheduleNames()), len(loads.Schedules()); got != want {
		t.Errorf("%d schedules are completed, %d are listed", got, want)
	}
}

// What does not fit the columns of a schedule stands below it in words, in both systems.
func TestFurtherLoads(t *testing.T) {
	for _, c := range []struct {
		words  string
		system quantity.System
		want   string
		source string
	}{
		{"13374", quantity.Metric, "also on any part 300 N; along 200 N; toe board 200 N; accidental 1250 N; wind with these 200 N/m2; wind alone 600 N/m2",
			"EN 13374 class A: 0.3, 0.2, 0.2 and 1.25 kN, 200 and 600 N/m2 (from memory)"},
		{"uk viii", quantity.Metric, "also down 600 N/m; down 1000 N, each alone and with the line", "BS 6399-1, as reported: 0.6 kN/m or 1.0 kN"},
		{"1170.1 c5", quantity.Metric, "also down 750 N/m; down 600 N; limit h/60 + L/240", "AS/NZS 1170.1: 0.75 kN/m, 0.6 kN; AS/NZS 1170.0 Table C1"},
		{"c5, c6, t3: crowds", quantity.US, "also inward 68.5 lbf/ft", "DIN EN 1991-1-1/NA: half of 2.0 kN/m, over 14.5939 N/m per lbf/ft"},
		{"c5: susceptible to large crowds", quantity.Metric, "", "EN 1991-1-1 has the line load only"},
	} {
		found := schedules(strings.Fields(c.words), c.system)
		if len(found.sheet.rows) != 1 {
			t.Errorf("%q finds %d rows, want one", c.words, len(found.sheet.rows))
			continue
		}
		if notes := found.sheet.rows[0].notes; notes[len(notes)-1] != c.want {
			t.Errorf("%q in %s: %q, want %q (source: %s)", c.words, c.system, notes[len(notes)-1], c.want, c.source)
		}
	}
}
