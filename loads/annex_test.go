package loads

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestFindScheduleIn(t *testing.T) {
	const caution = "annex has its own value"
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
		{"DE", "EN 1991-1-1", "C5", "EN 1991-1-1 DE C5", false},
		{"DE", "EN 1991-1-1 C3", "", "EN 1991-1-1 DE B2", false},
		{"DE", "EN 1991-1-1", "DE A", "EN 1991-1-1 DE A", false},
		{"DE", "EN 1991-1-1 UK v", "", "EN 1991-1-1 UK v", true},
		{"AT", "EN 1991-1-1", "B", "EN 1991-1-1 AT B", false},
		{"AT", "EN 1991-1-1", "C5", "EN 1991-1-1 C5", true},
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
	if !errors.As(err, &unknown) || unknown.Annex != "FR" || !slices.Equal(unknown.Choices, []string{"UK", "DE", "AT"}) {
		t.Errorf("annex FR: %v, want an AnnexError with UK, DE and AT", err)
	}
	if want := `no national annex "FR" is carried; carried: UK, DE, AT`; err.Error() != want {
		t.Errorf("annex FR: %v, want %s", err, want)
	}
	_, err = FindScheduleIn("DE", "EN 1991-1-1", "C")
	if refused, ok := errors.AsType[*RefusedScheduleError](err); !ok || !strings.Contains(refused.Reason, "name C1, C2, C3 or C4") {
		t.Errorf("category C under the DE annex: %v, want it refused with the numbers to name", err)
	}
	_, err = FindScheduleIn("UK", "EN 1991-1-1", "F")
	var occupancy *OccupancyError
	if !errors.As(err, &occupancy) {
		t.Errorf("occupancy F under the UK annex: %v, want an OccupancyError", err)
	}
}
