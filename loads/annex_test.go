package loads

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestFindScheduleIn(t *testing.T) {
	const caution = "the UK annex has its own value"
	for _, row := range []struct {
		annex, name, occupancy, want string
		cautioned                    bool
	}{
		{"", "EN 1991-1-1", "C5", "EN 1991-1-1 C5", false},
		{"", "EN 1991-1-1", "v", "EN 1991-1-1 UK v", false},
		{"UK", "EN 1991-1-1", "v", "EN 1991-1-1 UK v", false},
		{"uk", "EN 1991-1-1 UK v", "", "EN 1991-1-1 UK v", false},
		{" Uk ", "BS 6180", "xi", "EN 1991-1-1 UK xi", false},
		{"UK", "EN 1991-1-1", "C5", "EN 1991-1-1 C5", true},
		{"UK", "EN 1991-1-1 A", "", "EN 1991-1-1 A", true},
		{"UK", "EN ISO 14122-3", "", "EN ISO 14122-3", false},
		{"UK", "IBC 2021", "general", "IBC 2021 general", false},
	} {
		s, err := FindScheduleIn(row.annex, row.name, row.occupancy)
		if err != nil || s.Name != row.want {
			t.Errorf("FindScheduleIn(%q, %q, %q) = %q, %v; want %q", row.annex, row.name, row.occupancy, s.Name, err, row.want)
			continue
		}
		if got := strings.Contains(strings.Join(s.Cautions, "\n"), caution); got != row.cautioned {
			t.Errorf("FindScheduleIn(%q, %q, %q): cautioned %v, want %v", row.annex, row.name, row.occupancy, got, row.cautioned)
		}
	}
	if s := mustFind(t, "EN 1991-1-1 C5"); strings.Contains(strings.Join(s.Cautions, "\n"), caution) {
		t.Error("the caution of an annex stays in the table")
	}
}

func TestAnnexErrors(t *testing.T) {
	_, err := FindScheduleIn("FR", "EN 1991-1-1", "C5")
	var unknown *AnnexError
	if !errors.As(err, &unknown) || unknown.Annex != "FR" || !slices.Equal(unknown.Choices, []string{"UK"}) {
		t.Errorf("annex FR: %v, want an AnnexError with UK", err)
	}
	if want := `no national annex "FR" is carried; carried: UK`; err.Error() != want {
		t.Errorf("annex FR: %v, want %s", err, want)
	}
	_, err = FindScheduleIn("UK", "EN 1991-1-1", "F")
	var occupancy *OccupancyError
	if !errors.As(err, &occupancy) {
		t.Errorf("occupancy F under the UK annex: %v, want an OccupancyError", err)
	}
}
