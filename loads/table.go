package loads

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"slices"
	"sync"

	"github.com/BurntSushi/toml"
)

//go:embed tables
var files embed.FS

// tables is the content of the schedule files, with every name under which a schedule is
// found.
type tables struct {
	schedules   []Schedule
	annexes     []annex
	standards   []standard
	unsupported []unsupported
	names       map[string]entry // by compact spelling
}

// scheduleFiles names the embedded files of schedules in document order.
func scheduleFiles() []string {
	return []string{
		"tables/en-iso-14122-3.toml",
		"tables/en-iso-14122-3-2001.toml",
		"tables/en-13374.toml",
		"tables/en-1991-1-1.toml",
		"tables/en-1991-1-1-uk.toml",
		"tables/en-1991-1-1-de.toml",
		"tables/en-1991-1-1-at.toml",
		"tables/29-cfr-1910.29.toml",
		"tables/29-cfr-1926.502.toml",
		"tables/ibc-2018.toml",
		"tables/ibc-2021.toml",
		"tables/asce-7-10.toml",
		"tables/asce-7-16.toml",
		"tables/nbc-2005.toml",
		"tables/nbc-2010-2020.toml",
		"tables/quebec-s-2.1-r.13.toml",
		"tables/as-nzs-1170.1.toml",
		"tables/as-1657-1992.toml",
		"tables/as-1657-2018.toml",
	}
}

// scheduleTable parses every embedded schedule, once. Schedules are listed in the order of
// the files.
var scheduleTable = sync.OnceValue(func() *tables {
	t := &tables{names: map[string]entry{}}
	for _, file := range scheduleFiles() {
		must(file, t.addSchedules(embedded(file)))
	}
	const file = "tables/unsupported.toml"
	must(file, t.addUnsupported(embedded(file)))
	return t
})

// limitTable parses the embedded sets of limits, once.
var limitTable = sync.OnceValue(func() []LimitSet {
	const file = "tables/limits.toml"
	sets, err := decodeLimitSets(embedded(file))
	must(file, err)
	return sets
})

// embedded returns an embedded file.
func embedded(file string) []byte {
	data, err := files.ReadFile(file)
	must(file, err)
	return data
}

// must stops on a fault in an embedded table, which is a fault of this package.
func must(file string, err error) {
	if err != nil {
		panic(fmt.Sprintf("loads: %s: %v", file, err))
	}
}

// decode reads a table strictly: a key that into does not have is an error.
func decode(data []byte, into any) error {
	md, err := toml.NewDecoder(bytes.NewReader(data)).Decode(into)
	if err != nil {
		return err
	}
	if extra := md.Undecoded(); len(extra) > 0 {
		return fmt.Errorf("unknown key %s", extra[0])
	}
	return nil
}

// addSchedules adds a file of schedules to the table.
func (t *tables) addSchedules(data []byte) error {
	var file scheduleFile
	if err := decode(data, &file); err != nil {
		return err
	}
	if err := t.addHead(file.scheduleHead); err != nil {
		return err
	}
	own := t.standard(file.Name)
	parent := t.standard(file.PartOf)
	under := t.spellingsOf(file.scheduleHead)
	for _, row := range file.Schedule {
		s, err := file.schedule(row)
		if err != nil {
			return fmt.Errorf("%s %s: %w", file.Name, row.Occupancy, err)
		}
		t.schedules = append(t.schedules, s)
		own.choose(row.Occupancy)
		if err := t.nameAll(own.spellings, under, row.Occupancy, row.Spellings, row.National, entry{schedule: &s}); err != nil {
			return err
		}
	}
	for _, row := range file.Refused {
		if err := row.audit(); err != nil {
			return fmt.Errorf("%s %s: %w", file.Name, row.Occupancy, err)
		}
		if err := t.nameAll(own.spellings, under, row.Occupancy, row.Spellings, row.National, entry{refused: row.Reason}); err != nil {
			return err
		}
	}
	if parent != nil {
		parent.choices = append(parent.choices, own.choices...)
	}
	return nil
}

// addHead adds the standard of a file, and the annex where it is one.
func (t *tables) addHead(h scheduleHead) error {
	parent := t.standard(h.PartOf)
	switch {
	case t.standard(h.Name) != nil:
		return fmt.Errorf("two files are called %q", h.Name)
	case h.PartOf != "" && parent == nil:
		return fmt.Errorf("part of %q, which no file before this one brings", h.PartOf)
	case h.PartOf == "" && h.Annex != "":
		return fmt.Errorf("annex %q is part of no standard", h.Annex)
	}
	if h.Annex != "" {
		t.annexes = append(t.annexes, annex{name: h.Annex, standard: parent.name, rows: h.Name, partial: h.Partial})
	}
	t.standards = append(t.standards, standard{name: h.Name, spellings: spellings(append([]string{h.Name}, h.Spellings...))})
	return nil
}

// spellingsOf returns the names under which the schedules of a file are found: its own, and
// those of the standard that it is part of.
func (t *tables) spellingsOf(h scheduleHead) []string {
	under := t.standard(h.Name).spellings
	if parent := t.standard(h.PartOf); parent != nil {
		under = append(slices.Clone(under), parent.spellings...)
	}
	return under
}

// choose adds an occupancy to the choices of the standard, unless it is empty.
func (s *standard) choose(occupancy string) {
	if occupancy != "" {
		s.choices = append(s.choices, occupancy)
	}
}

// standard returns the standard of that name, or nil.
func (t *tables) standard(name string) *standard {
	for i := range t.standards {
		if t.standards[i].name == name {
			return &t.standards[i]
		}
	}
	return nil
}

// nameAll enters the spellings of a row: under every standard, and the national ones under
// those of the file itself.
func (t *tables) nameAll(own, under []string, occupancy string, spellings, national []string, e entry) error {
	return errors.Join(
		t.name(under, occupancy, spellings, e),
		t.name(own, occupancy, slices.Concat(spellings, national), e))
}

// name enters the spellings of a schedule: each standard with each spelling of the
// occupancy. Two schedules with one spelling are an error.
func (t *tables) name(standards []string, occupancy string, others []string, e entry) error {
	for _, o := range append([]string{occupancy}, others...) {
		e.occupancies = append(e.occupancies, compact(o))
	}
	for _, standard := range standards {
		for _, o := range e.occupancies {
			key := compact(standard) + o
			if old, taken := t.names[key]; taken && (old.schedule != e.schedule || old.refused != e.refused) {
				return fmt.Errorf("the spelling %s stands for two schedules", key)
			}
			t.names[key] = e
		}
	}
	return nil
}

// spellings brings names to one way of writing.
func spellings(names []string) []string {
	written := make([]string, len(names))
	for i, name := range names {
		written[i] = spelling(name)
	}
	return written
}

// addUnsupported adds the standards that are known and not carried, or not under that name.
func (t *tables) addUnsupported(data []byte) error {
	var file struct {
		Standard []struct {
			Name      string
			Spellings []string
			Reason    string
			Lacks     string
			Carried   []string
		}
	}
	if err := decode(data, &file); err != nil {
		return err
	}
	for _, s := range file.Standard {
		names := spellings(append([]string{s.Name}, s.Spellings...))
		for _, carried := range s.Carried {
			if t.standard(carried) == nil {
				return fmt.Errorf("%s: %q is not carried", s.Name, carried)
			}
		}
		t.unsupported = append(t.unsupported, unsupported{spellings: names, reason: s.Reason, lacks: s.Lacks, carried: s.Carried})
	}
	return nil
}
