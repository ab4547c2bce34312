package sections

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// Every tube is found by its listed name, and by its standard with its designation.
func TestEveryTubeIsFound(t *testing.T) {
	for _, tube := range Tubes() {
		for _, name := range []string{
			tube.Name,
			strings.ToUpper(tube.Name),
			strings.ToLower(strings.ReplaceAll(tube.Name, " ", "")),
			strings.ReplaceAll(tube.Name, "x", " × "),
			tube.Standard + " " + tube.Designation,
		} {
			got, err := FindTube(name)
			if err != nil || got.Name != tube.Name {
				t.Errorf("FindTube(%q) = %q, %v; want %q", name, got.Name, err, tube.Name)
			}
		}
	}
}

func TestFindTubeSpellings(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"EN 10255 DN40 medium", "EN 10255 DN40 medium"},
		{"en10255 dn 40 medium", "EN 10255 DN40 medium"},
		{"medium EN 10255 DN40", "EN 10255 DN40 medium"},
		{"EN 10255 M DN 40", "EN 10255 DN40 medium"},
		{"EN 10255 48.3x3.2", "EN 10255 DN40 medium"},
		{"EN 10255 1-1/2 medium", "EN 10255 DN40 medium"},
		{"EN 10255 DN40 L", "EN 10255 DN40 L"},
		{"EN 10255 DN40 light L2", "EN 10255 DN40 L2"},
		{"EN 10219 48.3x3.2", "EN 10219 48.3x3.2"},
		{"EN 10219-2 48.3 × 3.20", "EN 10219 48.3x3.2"},
		{"BS EN 10219-2 48,3x3,2 mm", "EN 10219 48.3x3.2"},
		{"EN 10219 CHS 48.3x4", "EN 10219 48.3x4.0"},
		{"EN39 type 4", "EN 39 48.3x4.0"},
		{"AS 1074 DN 40 heavy", "AS 1074 DN40 heavy"},
		{"AS 1163 48.3x3.2", "AS/NZS 1163 48.3x3.2"},
		{"JIS G3444 48.6x2.4", "JIS G 3444 48.6x2.4"},
		{"STK 48.6x2.4", "JIS G 3444 48.6x2.4"},
		{"ASTM A53 NPS 1-1/2 STD", "ASTM A53 NPS 1-1/2 STD"},
		{"A53 1 1/2 std", "ASTM A53 NPS 1-1/2 STD"},
		{"A53 1½ STD", "ASTM A53 NPS 1-1/2 STD"},
		{`a53 1.5" sch 40`, "ASTM A53 NPS 1-1/2 STD"},
		{"Pipe1-1/2STD", "ASTM A53 NPS 1-1/2 STD"},
		{"A53 3/4 schedule 80", "ASTM A53 NPS 3/4 XS"},
		{"HSS1.900X0.145", "ASTM A500 1.900x0.145"},
		{"A500 1.9x.145", "ASTM A500 1.900x0.145"},
		{"A500 48.3x3.68", "ASTM A500 1.900x0.145"},
		{"B36.10 1-1/2 sch40", "ASME B36.10M NPS 1-1/2 Sch 40"},
		{"B429 1-1/2 sch 40", "ASTM B429 NPS 1-1/2 Sch 40"},
		{"EN ISO 1127 48.3x2", "EN 10217 48.3x2.0"},
		{"EN 755-8 48.3x4", "EN 755 48.3x4.0"},
	} {
		got, err := FindTube(c.name)
		if err != nil || got.Name != c.want {
			t.Errorf("FindTube(%q) = %q, %v; want %q", c.name, got.Name, err, c.want)
		}
	}
}

func TestFindTubeAmbiguous(t *testing.T) {
	for _, c := range []struct {
		name string
		want []string
	}{
		{"EN 10255 DN40", []string{"EN 10255 DN40 L", "EN 10255 DN40 L2", "EN 10255 DN40 medium", "EN 10255 DN40 heavy"}},
		{"EN 10255 DN40 light", []string{"EN 10255 DN40 L", "EN 10255 DN40 L2"}},
		{"DN40 medium", []string{"EN 10255 DN40 medium", "AS 1074 DN40 medium"}},
		{"CHS 48.3x3.2", []string{"EN 10210 48.3x3.2", "EN 10219 48.3x3.2", "AS/NZS 1163 48.3x3.2"}},
		{"EN 39", []string{"EN 39 48.3x3.2", "EN 39 48.3x4.0"}},
	} {
		_, err := FindTube(c.name)
		ambiguous, ok := errors.AsType[*AmbiguousTubeError](err)
		if !ok || !slices.Equal(ambiguous.Candidates, c.want) {
			t.Errorf("FindTube(%q): %v, want the candidates %q", c.name, err, c.want)
		}
	}
}

func TestFindTubeMessages(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"EN 10255 DN40 medum", `no tube "EN 10255 DN40 medum"; nearest: "EN 10255 DN40 medium", "EN 10255 DN20 medium", "EN 10255 DN50 medium", "EN 10255 DN15 medium", "EN 10255 DN25 medium"`},
		// One tube has this size, but a standard is not to be guessed from a size.
		{"48.3x4.47", `no tube "48.3x4.47"; nearest: "BS 1139 48.3x4.47"`},
		{"DN40 medium", `"DN40 medium" names more than one tube: "EN 10255 DN40 medium", "AS 1074 DN40 medium"`},
		{"", `no tube ""`},
		{"type", `no tube "type"`},
	} {
		if _, err := FindTube(c.name); err == nil || err.Error() != c.want {
			t.Errorf("FindTube(%q): %v\nwant %s", c.name, err, c.want)
		}
	}
	_, err := FindTube("EN 10219")
	if err == nil || !strings.HasSuffix(err.Error(), "and 42 more") {
		t.Errorf("a long list of candidates is not cut: %v", err)
	}
}

// Whatever is typed, the answer is a listed tube or one of the two errors, and
// the names an error offers are found as they stand.
func FuzzFindTube(f *testing.F) {
	for _, seed := range []string{"EN 10255 DN40 medium", "A53 1-1/2 std", "48,3x3,2", "×½\"", "dn", "x", "1e400x", "EN 10219-2 48.3 × 3.20 mm", "\xff"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if len(name) > 200 {
			t.Skip()
		}
		tube, err := FindTube(name)
		if err == nil {
			if !slices.Contains(tubeNames(tubeTable()), tube.Name) {
				t.Errorf("FindTube(%q) = %+v is not listed", name, tube)
			}
			return
		}
		var offered []string
		if unknown, ok := errors.AsType[*UnknownTubeError](err); ok {
			offered = unknown.Nearest
		} else if ambiguous, ok := errors.AsType[*AmbiguousTubeError](err); ok {
			offered = ambiguous.Candidates
		} else {
			t.Errorf("FindTube(%q): %v is neither of its errors", name, err)
		}
		for _, o := range offered {
			if found, err := FindTube(o); err != nil || found.Name != o {
				t.Errorf("FindTube(%q) offers %q, which is not found: %v", name, o, err)
			}
		}
	})
}

// An index gives what a look at every row gives, in the order of the rows.
func TestIndexIsTheLookAtEveryRow(t *testing.T) {
	look := func(name string) (tubes, grades []string) {
		want := squash(name)
		for _, tube := range tubeTable() {
			if want == squash(tube.Name) || want == squash(tube.Designation) {
				tubes = append(tubes, tube.Name)
			}
		}
		for _, g := range gradeTable() {
			_, number, _ := strings.Cut(g.Standard, " ")
			for _, n := range append([]string{g.Name}, g.aliases...) {
				if want == squash(n) || want == squash(g.Standard+n) || want == squash(number+n) {
					grades = append(grades, g.label()+g.Words())
					break
				}
			}
		}
		return tubes, grades
	}
	names := []string{"", "S235", "no such name", "×"}
	for _, tube := range tubeTable() {
		names = append(names, tube.Name, tube.Designation)
	}
	for _, g := range gradeTable() {
		names = append(names, g.Name, g.label())
		names = append(names, g.aliases...)
	}
	for _, name := range names {
		tubes, grades := look(name)
		var named []string
		for _, g := range gradesNamed(name) {
			named = append(named, g.label()+g.Words())
		}
		if got := tubeNames(tubesCalled(name)); !slices.Equal(got, tubes) {
			t.Errorf("tubesCalled(%q) = %q, want %q", name, got, tubes)
		}
		if !slices.Equal(named, grades) {
			t.Errorf("gradesNamed(%q) = %q, want %q", name, named, grades)
		}
	}
}

// The quick way of squashing gives what the general one does.
func FuzzSquash(f *testing.F) {
	for _, seed := range []string{"EN 10255 DN40 medium", "HSS1.900X0.145", "S235JRH (1.0039)", "a\tb\vc\fd\re\n", "\x00-\x7f", "48.3 × 3.2"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		quick, ok := squashASCII(name)
		general := strings.Map(func(r rune) rune {
			if unicode.IsSpace(r) || r == '-' || r == '(' || r == ')' {
				return -1
			}
			return r
		}, strings.ToLower(name))
		if ok && quick != general {
			t.Errorf("squashASCII(%q) = %q, want %q", name, quick, general)
		}
	})
}
