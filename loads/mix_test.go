package loads

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
)

// of returns variable actions of the categories.
func of(categories ...Category) []Variable {
	var v []Variable
	for _, c := range categories {
		v = append(v, Variable{Category: c})
	}
	return v
}

// accidental returns an accidental action with others beside it.
func accidental(beside ...Category) []Variable {
	return append([]Variable{{Category: Imposed, Accidental: true}}, of(beside...)...)
}

// combinationsUnder returns the combinations of a basis, which are to be there.
func combinationsUnder(t testing.TB, b Basis, annex, rule string) Combinations {
	t.Helper()
	c, err := CombinationsUnder(b, annex, rule)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// inWords returns a combination as "ULS 1.35 (1): 1.5, 0.9".
func inWords(m Mix) string {
	var factors []string
	for _, f := range m.Factors {
		factors = append(factors, fmt.Sprint(f))
	}
	return fmt.Sprintf("%s %v (%v): %s", m.LimitState, m.PermanentUnfavourable, m.PermanentFavourable, strings.Join(factors, ", "))
}

// The factors worked by hand from the standards, one line for each combination: limit
// state, unfavourable and (relieving) permanent factor, then a factor for each action.
func TestMixes(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	const (
		guide = "Steel Buildings in Europe, Part 3, p. 3-5: 1.35 (1.00) G + 1.5 Q1 + sum 1.5 psi0 Qi; psi0 of wind 0.6; psi0 of imposed loads from memory (EN 1990 Table A1.1)"
		ab    = "Steel Buildings in Europe, Part 3, p. 3-5: 6.10a and 6.10b, xi 0.85: 0.85 x 1.35 = 1.1475"
		uk    = "UK NA to EN 1990, memory: psi0 of wind 0.5, xi 0.925: 0.925 x 1.35 = 1.24875"
		equ   = "Steel Buildings in Europe, Part 3, p. 3-5: Table A1.2(A)"
		acc   = "EN 1990 6.11b with Tables A1.1 and A1.3, memory: G + A + psi1 Q1 + psi2 Qi"
		sls   = "EN 1990 6.14b with Table A1.1, memory"
		snow  = "snow up to 1000 m, EN 1990 Table A1.1, memory, taken for ice: 0.5, 0.2, 0"
		lrfd  = "ASCE 7-16 2.3.1, memory: 1.4D; 1.2D + 1.6L; 1.2D + 1.0W + L; 0.9D + 1.0W"
		lice  = "ASCE 7-16 2.3.3, memory: 1.2D + 1.6L + 0.2Di; 1.2D + L + Di + Wi; 0.9D + Di + Wi"
		warm  = "ASCE 7-16 2.3.4 and commentary, memory: 1.2D + 1.6L + 1.0T; 1.2D + 1.2T + L"
		asd   = "ASCE 7-16 2.4.1, memory: D; D + L; D + 0.6W; D + 0.75L + 0.75(0.6W); 0.6D + 0.6W"
		aice  = "ASCE 7-16 2.4.3, memory: D + L + 0.7Di; D + 0.7Di + 0.7Wi; 0.6D + 0.7Di + 0.7Wi"
		nbc   = "NBC Table 4.1.3.2.-A, memory: 1.4D; 1.25D (0.9D) + 1.5L + 0.4W; 1.25D (0.9D) + 1.4W + 0.5L"
		as    = "AS/NZS 1170.0 4.2.2, memory: 1.35G; 1.2G + 1.5Q; 1.2G + Wu + psi_c Q; 0.9G + Wu; Table 4.1 psi_c 0.4, storage 0.6"
		own   = "rule of this program, no standard"
	)
	for _, row := range []struct {
		basis       Basis
		annex, rule string
		situation   Situation
		together    []Variable
		want        []string
		source      string
	}{
		{BasisEN, "", "", Strength, nil, []string{"ULS 1.35 (1.35): "}, guide},
		{BasisEN, "", "", Strength, of(ImposedC), []string{"ULS 1.35 (1): 1.5"}, guide},
		{BasisEN, "", "", Strength, of(WindAction), []string{"ULS 1.35 (1): 1.5"}, guide},
		{BasisEN, "", "", Strength, of(ImposedC, WindAction), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}, guide},
		{BasisEN, "", "", Strength, of(WindAction, ImposedC), []string{"ULS 1.35 (1): 1.5, 1.05", "ULS 1.35 (1): 0.9, 1.5"}, guide},
		{BasisEN, "", "", Strength, of(ImposedA, WindAction), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}, guide},
		{BasisEN, "", "", Strength, of(ImposedE, WindAction), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.5, 1.5"}, guide},
		{BasisEN, "", "", Strength, of(Imposed, WindAction), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.5, 1.5"}, guide},
		{BasisEN, "", "", Strength, of(ImposedC, WindAction, IceAction), []string{"ULS 1.35 (1): 1.5, 0.9, 0.75", "ULS 1.35 (1): 1.05, 1.5, 0.75", "ULS 1.35 (1): 1.05, 0.9, 1.5"}, snow},
		{BasisEN, "", "", Strength, of(ImposedB, Temperature), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}, guide},
		{BasisEN, "", "6.10", Strength, of(ImposedC, WindAction), []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}, guide},
		{BasisEN, "", "6.10a/b", Strength, of(ImposedC), []string{"ULS 1.35 (1): 1.05", "ULS 1.1475 (1): 1.5"}, ab},
		{BasisEN, "", "6.10a/b", Strength, of(ImposedC, WindAction), []string{"ULS 1.35 (1): 1.05, 0.9", "ULS 1.1475 (1): 1.5, 0.9", "ULS 1.1475 (1): 1.05, 1.5"}, ab},
		{BasisEN, "UK", "", Strength, of(ImposedC, WindAction), []string{"ULS 1.35 (1): 1.5, 0.75", "ULS 1.35 (1): 1.05, 1.5"}, uk},
		{BasisEN, " uk ", "6.10a/b", Strength, of(ImposedC, WindAction), []string{"ULS 1.35 (1): 1.05, 0.75", "ULS 1.24875 (1): 1.5, 0.75", "ULS 1.24875 (1): 1.05, 1.5"}, uk},
		{BasisEN, "UK", "", Service, of(ImposedC, WindAction), []string{"SLS 1 (1): 1, 0.5", "SLS 1 (1): 0.7, 1"}, uk},
		{BasisEN, "", "", Equilibrium, nil, []string{"EQU 1.1 (0.9): "}, equ},
		{BasisEN, "", "", Equilibrium, of(ImposedC), []string{"EQU 1.1 (0.9): 1.5"}, equ},
		{BasisEN, "", "", Equilibrium, of(ImposedC, WindAction), []string{"EQU 1.1 (0.9): 1.5, 0.9", "EQU 1.1 (0.9): 1.05, 1.5"}, equ},
		{BasisEN, "", "", Accidental, accidental(), []string{"accidental 1 (1): 1"}, acc},
		{BasisEN, "", "", Accidental, accidental(WindAction), []string{"accidental 1 (1): 1, 0.2"}, acc},
		{BasisEN, "", "", Accidental, accidental(ImposedC), []string{"accidental 1 (1): 1, 0.7"}, acc},
		{BasisEN, "", "", Accidental, accidental(ImposedA), []string{"accidental 1 (1): 1, 0.5"}, acc},
		{BasisEN, "", "", Accidental, accidental(ImposedE), []string{"accidental 1 (1): 1, 0.9"}, acc},
		// Where C leads, psi2 of wind is 0: the combination of those without wind.
		{BasisEN, "", "", Accidental, accidental(ImposedC, WindAction), []string{"accidental 1 (1): 1, 0.6, 0.2"}, acc},
		{BasisEN, "", "", Accidental, accidental(WindAction, Temperature), nil, acc},
		{BasisEN, "", "", Accidental, accidental(ImposedA, ImposedE), []string{"accidental 1 (1): 1, 0.5, 0.8", "accidental 1 (1): 1, 0.3, 0.9"}, acc},
		{BasisEN, "", "", Strength, accidental(ImposedC), nil, acc},
		{BasisEN, "", "", Service, of(ImposedC), []string{"SLS 1 (1): 1"}, sls},
		{BasisEN, "", "", Service, of(ImposedC, WindAction), []string{"SLS 1 (1): 1, 0.6", "SLS 1 (1): 0.7, 1"}, sls},
		{BasisEN, "", "", Service, of(ImposedC, IceAction), []string{"SLS 1 (1): 1, 0.5", "SLS 1 (1): 0.7, 1"}, snow},

		{BasisLRFD, "", "", Strength, nil, []string{"ULS 1.4 (1.4): "}, lrfd},
		{BasisLRFD, "", "", Strength, of(ImposedC), []string{"ULS 1.2 (0.9): 1.6"}, lrfd},
		{BasisLRFD, "", "", Strength, of(WindAction), []string{"ULS 1.2 (0.9): 1"}, lrfd},
		{BasisLRFD, "", "", Strength, of(ImposedC, WindAction), []string{"ULS 1.2 (0.9): 1, 1"}, lrfd},
		{BasisLRFD, "", "", Strength, of(IceAction), []string{"ULS 1.2 (0.9): 1"}, lice},
		{BasisLRFD, "", "", Strength, of(IceAction, WindAction), []string{"ULS 1.2 (0.9): 1, 1"}, lice},
		{BasisLRFD, "", "", Strength, of(ImposedC, IceAction), []string{"ULS 1.2 (0.9): 1.6, 0.2", "ULS 1.2 (0.9): 1, 1"}, lice},
		{BasisLRFD, "", "", Strength, of(ImposedC, IceAction, WindAction), []string{"ULS 1.2 (0.9): 1, 1, 1"}, lice},
		{BasisLRFD, "", "", Strength, of(ImposedC, Temperature), []string{"ULS 1.2 (0.9): 1.6, 1", "ULS 1.2 (0.9): 1, 1.2"}, warm},
		{BasisLRFD, "", "", Strength, of(Temperature), []string{"ULS 1.2 (0.9): 1.2"}, warm},
		{BasisLRFD, "", "", Strength, of(Temperature, WindAction), []string{"ULS 1.2 (0.9): 1, 1"}, warm},
		{BasisLRFD, "", "", Equilibrium, nil, []string{"EQU 1.2 (0.9): "}, lrfd},
		{BasisLRFD, "", "", Equilibrium, of(ImposedC), []string{"EQU 1.2 (0.9): 1.6"}, lrfd},
		{BasisLRFD, "", "", Service, of(ImposedC), []string{"SLS 1 (1): 1"}, own},
		{BasisLRFD, "", "", Service, of(ImposedC, WindAction), []string{"SLS 1 (1): 1, 1"}, own},
		{BasisLRFD, "", "", Accidental, accidental(), []string{"ULS 1.2 (0.9): 1.6"}, own},
		{BasisLRFD, "", "", Accidental, accidental(WindAction), []string{"ULS 1.2 (0.9): 1, 1"}, own},

		{BasisASD, "", "", Strength, nil, []string{"ASD 1 (1): "}, asd},
		{BasisASD, "", "", Strength, of(ImposedC), []string{"ASD 1 (0.6): 1"}, asd},
		{BasisASD, "", "", Strength, of(WindAction), []string{"ASD 1 (0.6): 0.6"}, asd},
		{BasisASD, "", "", Strength, of(ImposedC, WindAction), []string{"ASD 1 (0.6): 0.75, 0.45"}, asd},
		{BasisASD, "", "", Strength, of(IceAction), []string{"ASD 1 (0.6): 0.7"}, aice},
		{BasisASD, "", "", Strength, of(WindAction, IceAction), []string{"ASD 1 (0.6): 0.7, 0.7"}, aice},
		{BasisASD, "", "", Strength, of(ImposedC, IceAction), []string{"ASD 1 (0.6): 1, 0.7"}, aice},
		{BasisASD, "", "", Strength, of(ImposedC, WindAction, IceAction), []string{"ASD 1 (0.6): 1, 0.7, 0.7"}, aice + "; L beside both is this program's caution"},
		{BasisASD, "", "", Equilibrium, of(ImposedC), []string{"EQU 1 (0.6): 1"}, asd},
		{BasisASD, "", "", Accidental, accidental(), []string{"ASD 1 (0.6): 1"}, own},

		{BasisCSA, "", "", Strength, nil, []string{"ULS 1.4 (1.4): "}, nbc},
		{BasisCSA, "", "", Strength, of(ImposedC), []string{"ULS 1.25 (0.9): 1.5"}, nbc},
		{BasisCSA, "", "", Strength, of(WindAction), []string{"ULS 1.25 (0.9): 1.4"}, nbc},
		{BasisCSA, "", "", Strength, of(ImposedC, WindAction), []string{"ULS 1.25 (0.9): 1.5, 0.4", "ULS 1.25 (0.9): 0.5, 1.4"}, nbc},
		{BasisCSA, "", "", Strength, of(ImposedE, WindAction), []string{"ULS 1.25 (0.9): 1.5, 0.4", "ULS 1.25 (0.9): 1, 1.4"}, nbc + "; 1.0L for storage"},
		{BasisCSA, "", "", Equilibrium, of(ImposedC), []string{"EQU 1.25 (0.9): 1.5"}, nbc},
		{BasisCSA, "", "", Service, of(ImposedC), []string{"SLS 1 (1): 1"}, own},

		{BasisAS, "", "", Strength, nil, []string{"ULS 1.35 (1.35): "}, as},
		{BasisAS, "", "", Strength, of(ImposedC), []string{"ULS 1.2 (0.9): 1.5"}, as},
		{BasisAS, "", "", Strength, of(WindAction), []string{"ULS 1.2 (0.9): 1"}, as},
		{BasisAS, "", "", Strength, of(ImposedC, WindAction), []string{"ULS 1.2 (0.9): 0.4, 1"}, as},
		{BasisAS, "", "", Strength, of(ImposedE, WindAction), []string{"ULS 1.2 (0.9): 0.6, 1"}, as},
		{BasisAS, "", "", Equilibrium, of(ImposedC), []string{"EQU 1.2 (0.9): 1.5"}, as},
		{BasisAS, "", "", Service, of(ImposedC), []string{"SLS 1 (1): 1"}, "AS/NZS 1170.0 4.3, psi_s 1.0 on barriers, memory (low)"},
	} {
		var got []string
		mixes := combinationsUnder(t, row.basis, row.annex, row.rule).Mixes(row.situation, row.together)
		for _, m := range mixes {
			got = append(got, inWords(m))
		}
		if row.source != own && len(row.want) > 0 {
			name := strings.Join(strings.Fields(fmt.Sprintf("%s %s %s %s", row.basis, strings.ToUpper(row.annex), row.rule, row.situation)), " ")
			recordMixes(t, record.From("combinations of "+string(row.basis), row.source, howKnown(row.source)), name+", "+together(row.together), mixes, row.want)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s %s %s %s %v\n got %q\nwant %q\n(source %s)", row.basis, row.annex, row.rule, row.situation, row.together, got, row.want, row.source)
		}
	}
}

// The combination factors of EN 1990 Table A1.1, and where each comes from.
func TestPsi(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	for _, row := range []struct {
		annex      string
		category   Category
		want       [3]float64
		provenance [2]string // of psi0; of psi1 and psi2
		source     string
	}{
		{"", ImposedA, [3]float64{0.7, 0.5, 0.3}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", ImposedB, [3]float64{0.7, 0.5, 0.3}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", ImposedC, [3]float64{0.7, 0.7, 0.6}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", ImposedD, [3]float64{0.7, 0.7, 0.6}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", ImposedE, [3]float64{1, 0.9, 0.8}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", ImposedF, [3]float64{0.7, 0.7, 0.6}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"", Imposed, [3]float64{1, 0.9, 0.8}, [2]string{"common-practice", "common-practice"}, "the largest of the table"},
		{"", WindAction, [3]float64{0.6, 0.2, 0}, [2]string{"public", "memory"}, "psi0: Steel Buildings in Europe, Part 3, p. 3-5"},
		{"", IceAction, [3]float64{0.5, 0.2, 0}, [2]string{"common-practice", "common-practice"}, "snow up to 1000 m: Steel Buildings in Europe, Part 3, p. 3-5 (psi0)"},
		{"", Temperature, [3]float64{0.6, 0.5, 0}, [2]string{"memory", "memory"}, "EN 1990 Table A1.1, memory"},
		{"UK", WindAction, [3]float64{0.5, 0.2, 0}, [2]string{"memory", "memory"}, "UK NA to EN 1990, memory"},
		{"UK", ImposedC, [3]float64{0.7, 0.7, 0.6}, [2]string{"memory", "memory"}, "UK NA to EN 1990 leaves it"},
	} {
		psi := combinationsUnder(t, BasisEN, row.annex, "").Psi(row.category)
		got := [3]float64{psi[0].Value, psi[1].Value, psi[2].Value}
		for i, v := range row.want {
			record.From("combination factors psi of EN 1990", row.source, verification.Provenance(row.provenance[min(i, 1)])).Add(fmt.Sprintf("%s %s: psi%d", cmp.Or(row.annex, "EN"), row.category, i), v, got[i])
		}
		if got != row.want || [2]string{psi[0].Provenance, psi[1].Provenance} != row.provenance || psi[2].Citation != psi[1].Citation {
			t.Errorf("%s %s: psi %+v, want %v, %q (source %s)", row.annex, row.category, psi, row.want, row.provenance, row.source)
		}
	}
}

// A factor that the schedule brings is the whole of it where the action leads, and is
// taken down as that of the basis where it accompanies.
func TestMixesWithOwnFactor(t *testing.T) {
	guard := Variable{Category: ImposedE, Own: &Factor{Value: 1.75, Override: true, Citation: Citation{Clause: "8.2.2"}}}
	crowd := Variable{Category: ImposedC, Own: &Factor{Value: 1.75, Override: true, Citation: Citation{Clause: "8.2.2"}}}
	wind := Variable{Category: WindAction}
	// EN 1990 6.10 with the 1.75 of EN ISO 14122-3 8.2.2: 0.7 x 1.75 = 1.225.
	for _, row := range []struct {
		c         Combinations
		situation Situation
		together  []Variable
		want      []string
		clauses   []string // of each factor of the first combination
	}{
		{CombinationsOf(BasisEN), Strength, []Variable{guard}, []string{"ULS 1.35 (1): 1.75"}, []string{"8.2.2"}},
		{CombinationsOf(BasisEN), Strength, []Variable{guard, wind}, []string{"ULS 1.35 (1): 1.75, 0.9", "ULS 1.35 (1): 1.75, 1.5"}, []string{"8.2.2", "Table A1.1"}},
		{CombinationsOf(BasisEN), Strength, []Variable{crowd, wind}, []string{"ULS 1.35 (1): 1.75, 0.9", "ULS 1.35 (1): 1.225, 1.5"}, []string{"8.2.2", "Table A1.1"}},
		{combinationsUnder(t, BasisEN, "", Rule610ab), Strength, []Variable{crowd, wind}, []string{"ULS 1.35 (1): 1.225, 0.9", "ULS 1.1475 (1): 1.75, 0.9", "ULS 1.1475 (1): 1.225, 1.5"}, []string{"8.2.2", "Table A1.1"}},
		{CombinationsOf(BasisEN), Equilibrium, []Variable{crowd}, []string{"EQU 1.1 (0.9): 1.75"}, []string{"8.2.2"}},
		{CombinationsOf(BasisEN), Service, []Variable{crowd, wind}, []string{"SLS 1 (1): 1, 0.6", "SLS 1 (1): 0.7, 1"}, []string{"6.5.3 expression (6.14b)", "Table A1.1"}},
		{CombinationsOf(BasisEN), Accidental, []Variable{{Category: Imposed, Accidental: true, Own: &Factor{Value: 1.5}}}, []string{"accidental 1 (1): 1"}, []string{"6.4.3.3 expression (6.11b), Table A1.3"}},
		{CombinationsOf(BasisLRFD), Accidental, []Variable{{Category: Imposed, Accidental: true, Own: &Factor{Value: 1.5}}}, []string{"ULS 1.2 (0.9): 1.6"}, []string{"accidental action as a nominal live load"}},
	} {
		mixes := row.c.Mixes(row.situation, row.together)
		var got []string
		for _, m := range mixes {
			got = append(got, inWords(m))
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: got %q, want %q", row.situation, got, row.want)
			continue
		}
		for i, clause := range row.clauses {
			if mixes[0].From[i].Clause != clause {
				t.Errorf("%s: factor %d is of clause %q, want %q", row.situation, i, mixes[0].From[i].Clause, clause)
			}
		}
	}
	// Actions that their schedule joins undiminished: both take 1.5, in one combination.
	whole := []Variable{{Category: ImposedC, Group: 1}, {Category: WindAction, Group: 1}}
	if got := CombinationsOf(BasisEN).Mixes(Strength, whole); len(got) != 1 || inWords(got[0]) != "ULS 1.35 (1): 1.5, 1.5" {
		t.Errorf("undiminished: %v", got)
	}
	// Beside one that is not of their group they lead and accompany as one (6.10: psi0 0.7, 0.6).
	third := []Variable{{Category: ImposedC, Group: 1}, {Category: ImposedC, Group: 1}, {Category: WindAction}}
	if got := CombinationsOf(BasisEN).Mixes(Strength, third); len(got) != 2 || inWords(got[0]) != "ULS 1.35 (1): 1.5, 1.5, 0.9" || inWords(got[1]) != "ULS 1.35 (1): 1.05, 1.05, 1.5" {
		t.Errorf("two undiminished with wind: %v", got)
	}
}

// A wind of service level takes 1.6 under LRFD and 1.0 under ASD, as ASCE 7-05 2.3.2 and
// 2.4.1 had (memory): beside a live load that is 1.2D + 1.6W + L, and D + 0.75L + 0.75W.
func TestWindOfAnotherRoute(t *testing.T) {
	record := verification.New(t, verification.Mixes)
	for _, row := range []struct {
		basis Basis
		route WindRoute
		want  []string
	}{
		{BasisEN, WindEN, []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}},
		{BasisEN, WindPressureGiven, []string{"ULS 1.35 (1): 1.5, 0.9", "ULS 1.35 (1): 1.05, 1.5"}},
		{BasisLRFD, WindASCE, []string{"ULS 1.2 (0.9): 1, 1"}},
		{BasisLRFD, WindEN, []string{"ULS 1.2 (0.9): 1, 1.6"}},
		{BasisLRFD, WindPressureGiven, []string{"ULS 1.2 (0.9): 1, 1.6"}},
		{BasisASD, WindASCE, []string{"ASD 1 (0.6): 0.75, 0.45"}},
		{BasisASD, WindEN, []string{"ASD 1 (0.6): 0.75, 0.75"}},
		{BasisCSA, WindEN, []string{"ULS 1.25 (0.9): 1.5, 0.4", "ULS 1.25 (0.9): 0.5, 1.4"}},
		{BasisAS, WindPressureGiven, []string{"ULS 1.2 (0.9): 0.4, 1.5"}},
	} {
		c := CombinationsOf(row.basis)
		var got []string
		mixes := c.Mixes(Strength, []Variable{{Category: ImposedC}, {Category: WindAction, Own: c.WindFactor(row.route)}})
		for _, m := range mixes {
			got = append(got, inWords(m))
		}
		if row.route != WindASCE && (row.basis == BasisLRFD || row.basis == BasisASD) {
			recordMixes(t, record.From("wind of service level under ASCE 7", "ASCE 7-05 2.3.2, 2.4.1 (memory)", verification.Memory), fmt.Sprintf("%s, wind by %s", row.basis, row.route), mixes, row.want)
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s, wind by %s: got %q, want %q", row.basis, row.route, got, row.want)
		}
	}
}

// A class of ISO 12494 takes 1.6 under LRFD and 1.0 under ASD (rule of this program); beside a
// leading live load 1.6 x 0.2 of it, and a thickness that is given 0.2 (ASCE 7-16 2.3.3, memory).
func TestIceOfAClass(t *testing.T) {
	for _, row := range []struct {
		basis Basis
		ice   Ice
		want  []string
	}{
		{BasisEN, Ice{Class: "G2"}, []string{"ULS 1.35 (1): 1.5, 0.75", "ULS 1.35 (1): 1.05, 1.5"}},
		{BasisLRFD, Ice{Class: "G2"}, []string{"ULS 1.2 (0.9): 1.6, 0.32", "ULS 1.2 (0.9): 1, 1.6"}},
		{BasisLRFD, Ice{Thickness: 0.02}, []string{"ULS 1.2 (0.9): 1.6, 0.2", "ULS 1.2 (0.9): 1, 1"}},
		{BasisASD, Ice{Class: "G2"}, []string{"ASD 1 (0.6): 1, 1"}},
		{BasisASD, Ice{Thickness: 0.02}, []string{"ASD 1 (0.6): 1, 0.7"}},
	} {
		c := CombinationsOf(row.basis)
		var got []string
		for _, m := range c.Mixes(Strength, []Variable{{Category: ImposedC}, {Category: IceAction, Own: c.IceFactor(row.ice)}}) {
			got = append(got, inWords(m))
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s, ice %+v: got %q, want %q", row.basis, row.ice, got, row.want)
		}
	}
}

// One variable action is combined as [Combinations.ULS] and SLS say, and the permanent
// actions alone as PermanentAlone says.
func TestMixesOfOneAction(t *testing.T) {
	for _, b := range bases() {
		c := CombinationsOf(b)
		for _, row := range []struct {
			situation Situation
			together  []Variable
			want      Combination
		}{
			{Strength, nil, c.PermanentAlone},
			{Strength, of(Imposed), c.ULS},
			{Strength, of(ImposedC), c.ULS},
			{Service, of(ImposedC), c.SLS},
		} {
			got := c.Mixes(row.situation, row.together)
			if len(got) != 1 {
				t.Errorf("%s %s: %d combinations of one action", b, row.situation, len(got))
				continue
			}
			m, w := got[0], row.want
			if m.Name != w.Name || m.LimitState != w.LimitState || m.PermanentUnfavourable != w.PermanentUnfavourable || m.PermanentFavourable != w.PermanentFavourable ||
				m.Standard != w.Standard || m.Clause != w.Clause || m.Provenance != w.Provenance || m.Confidence != w.Confidence || m.Relief.Provenance != w.Relief.Provenance || m.Relief.Clause != w.Relief.Clause {
				t.Errorf("%s %s: %+v, want %+v", b, row.situation, m, w)
			}
			if len(row.together) == 1 && m.Factors[0] != w.Leading {
				t.Errorf("%s %s: factor %g, want %g", b, row.situation, m.Factors[0], w.Leading)
			}
		}
	}
}

// sets returns every non-empty set of the actions.
func sets(of ...Variable) [][]Variable {
	var all [][]Variable
	for bits := 1; bits < 1<<len(of); bits++ {
		var set []Variable
		for i, v := range of {
			if bits&(1<<i) != 0 {
				set = append(set, v)
			}
		}
		all = append(all, set)
	}
	return all
}

// everything returns the combinations of every basis, annex and rule.
func everything(t testing.TB) []Combinations {
	all := []Combinations{combinationsUnder(t, BasisEN, "UK", Rule610), combinationsUnder(t, BasisEN, "UK", Rule610ab), combinationsUnder(t, BasisEN, "", Rule610ab)}
	for _, b := range bases() {
		all = append(all, CombinationsOf(b))
	}
	return all
}

// Whatever may act together has a combination in each situation; each has a factor above 0
// on every action with a source; none stands twice; the order of the actions is that given.
func TestEverySetIsCombined(t *testing.T) {
	actions := of(ImposedC, ImposedE, WindAction, IceAction, Temperature)
	for _, c := range everything(t) {
		for _, s := range []Situation{Strength, Equilibrium, Service} {
			for _, set := range sets(actions...) {
				mixes := c.Mixes(s, set)
				if len(mixes) == 0 {
					t.Errorf("%s %s: nothing combines %v", c.Basis, s, set)
				}
				backward := slices.Clone(set)
				slices.Reverse(backward)
				turned := c.Mixes(s, backward)
				if len(turned) != len(mixes) {
					t.Errorf("%s %s: %d combinations of %v, %d of it backward", c.Basis, s, len(mixes), set, len(turned))
				}
				for i, m := range mixes {
					if slices.ContainsFunc(mixes[:i], m.equals) {
						t.Errorf("%s %s: %s stands twice for %v", c.Basis, s, inWords(m), set)
					}
					if len(m.Factors) != len(set) || len(m.From) != len(set) || slices.Min(m.Factors) <= 0 {
						t.Errorf("%s %s: factors %v on %v", c.Basis, s, m.Factors, set)
					}
					for k, from := range append([]Citation{m.Citation, m.Relief}, m.From...) {
						if err := cited(fmt.Sprint(k), from); err != nil {
							t.Errorf("%s %s: %v", c.Basis, m.Name, err)
						}
					}
					m.Factors = slices.Clone(m.Factors)
					slices.Reverse(m.Factors)
					if !slices.ContainsFunc(turned, m.equals) {
						t.Errorf("%s %s: %s is not among those of %v backward", c.Basis, s, inWords(m), set)
					}
				}
			}
		}
	}
}

// worst returns the largest effect of the combinations for effects of the permanent and of
// each variable action.
func worst(mixes []Mix, permanent float64, effects []float64) float64 {
	most := math.Inf(-1)
	for _, m := range mixes {
		sum := m.PermanentUnfavourable * permanent
		if permanent < 0 {
			sum = m.PermanentFavourable * permanent
		}
		for i, f := range m.Factors {
			sum += f * effects[i]
		}
		most = max(most, sum)
	}
	return most
}

// 6.10 is never less than 6.10a and 6.10b for adverse variable effects (note to EN 1990
// 6.4.3.2; the permanent effect may be adverse or relieve), and a load of no known category
// never less than one of a known one.
func TestCautiousCombinations(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	kinds := of(ImposedC, WindAction, IceAction, Temperature)
	for _, annex := range []string{"", "UK"} {
		plain, split := combinationsUnder(t, BasisEN, annex, Rule610), combinationsUnder(t, BasisEN, annex, Rule610ab)
		for _, set := range sets(kinds...) {
			for range 50 {
				permanent, effects := effectsOf(random, set)
				p, s := worst(plain.Mixes(Strength, set), permanent, effects), worst(split.Mixes(Strength, set), permanent, effects)
				if p < s-1e-12 {
					t.Errorf("%s: 6.10 gives %g, 6.10a/b %g for G %g, %v %v", annex, p, s, permanent, set, effects)
				}
			}
		}
	}
	for _, c := range everything(t) {
		for _, s := range []Situation{Strength, Equilibrium, Service} {
			for _, known := range []Category{ImposedA, ImposedB, ImposedC, ImposedD, ImposedE, ImposedF} {
				for _, set := range sets(of(known, WindAction, IceAction, Temperature)...) {
					unknown := slices.Clone(set)
					if unknown[0].Category == known {
						unknown[0].Category = Imposed
					}
					permanent, effects := effectsOf(random, set)
					if u, k := worst(c.Mixes(s, unknown), permanent, effects), worst(c.Mixes(s, set), permanent, effects); u < k-1e-12 {
						t.Errorf("%s %s: a load of no category gives %g, of category %s %g", c.Basis, s, u, known, k)
					}
				}
			}
		}
	}
}

// effectsOf returns an effect of the permanent actions, of either sign, and an adverse one
// of each action of a set.
func effectsOf(random *rand.Rand, set []Variable) (permanent float64, effects []float64) {
	for range set {
		effects = append(effects, random.Float64())
	}
	return 4*random.Float64() - 2, effects
}

// An own factor equal to that of the basis changes nothing.
func TestOwnFactorOfTheBasis(t *testing.T) {
	for _, c := range everything(t) {
		for _, s := range []Situation{Strength, Equilibrium} {
			for _, set := range sets(of(ImposedC, ImposedE, WindAction, IceAction, Temperature)...) {
				owned := slices.Clone(set)
				for i, v := range owned {
					alone := c.Mixes(s, of(v.Category))
					owned[i].Own = &Factor{Value: alone[len(alone)-1].Factors[0]} // 6.10b after 6.10a
				}
				want, got := c.Mixes(s, set), c.Mixes(s, owned)
				if !slices.EqualFunc(got, want, Mix.equals) {
					t.Errorf("%s %s %v: %v, want %v", c.Basis, s, set, got, want)
				}
			}
		}
	}
}

func TestMixesMerge(t *testing.T) {
	for _, row := range []struct {
		basis  Basis
		set    []Variable
		want   int
		source string
	}{
		{BasisEN, of(ImposedC, ImposedC), 2, "one for each that leads"},
		{BasisEN, of(ImposedE, ImposedE), 1, "psi0 of category E is 1.0 (EN 1990 Table A1.1, memory)"},
		{BasisLRFD, of(ImposedC, ImposedC), 1, "ASCE 7-16 2.3.1: 1.6 on every live load"},
		{BasisASD, of(ImposedC, ImposedE), 1, "ASCE 7-16 2.4.1: 1.0 on every live load"},
	} {
		if got := CombinationsOf(row.basis).Mixes(Strength, row.set); len(got) != row.want {
			t.Errorf("%s %v: %d combinations, want %d (source %s)", row.basis, row.set, len(got), row.want, row.source)
		}
	}
}

func TestCombinationsUnder(t *testing.T) {
	for _, row := range []struct {
		basis             Basis
		annex, rule       string
		wantAnnex, wantOf string
		want              string // of the error
	}{
		{BasisEN, "", "", "", "6.10", ""},
		{BasisEN, "uk", "6.10a/b", "UK", "6.10a/b", ""},
		{BasisEN, "DE", "", "", "6.10", ""},
		{BasisLRFD, "UK", "", "", "", ""},
		{BasisEN, "", "6.10c", "", "", `basis EN has no rule "6.10c" for strength; it has: 6.10, 6.10a/b`},
		{BasisASD, "", "6.10", "", "", `basis AISC-ASD has no choice of rule, and "6.10" is given`},
	} {
		c, err := CombinationsUnder(row.basis, row.annex, row.rule)
		var fault *RuleError
		switch {
		case row.want == "" && (err != nil || c.Annex() != row.wantAnnex || c.Rule() != row.wantOf || c.ULS != CombinationsOf(row.basis).ULS):
			t.Errorf("%s %q %q: annex %q, rule %q, %v", row.basis, row.annex, row.rule, c.Annex(), c.Rule(), err)
		case row.want != "" && (!errors.As(err, &fault) || err.Error() != row.want):
			t.Errorf("%s %q: %v, want %s", row.basis, row.rule, err, row.want)
		}
	}
}

func TestMayJoin(t *testing.T) {
	for _, row := range []struct {
		basis      Basis
		a, b       Category
		want       bool
		provenance string
		source     string
	}{
		{BasisEN, ImposedC, WindAction, true, "memory", "EN 1990 6.4.3"},
		{BasisEN, ImposedC, ImposedE, true, "common-practice", "rule of this program"},
		{BasisEN, Imposed, IceAction, true, "common-practice", "ice as snow"},
		{BasisEN, WindAction, IceAction, true, "memory", "ISO 12494 Table 12"},
		{BasisEN, WindAction, WindAction, false, "common-practice", "one wind at a time"},
		{BasisLRFD, ImposedA, IceAction, true, "memory", "ASCE 7-16 2.3.3"},
		{BasisASD, ImposedA, Temperature, true, "memory", "ASCE 7-16 2.4.4"},
		{BasisCSA, Temperature, Temperature, false, "common-practice", "one change at a time"},
		{BasisAS, WindAction, ImposedF, true, "memory", "AS/NZS 1170.0 4.2.2 (d)"},
	} {
		for range 2 {
			ok, why := CombinationsOf(row.basis).MayJoin(row.a, row.b)
			if ok != row.want || why.Provenance != row.provenance || cited("together", why) != nil {
				t.Errorf("%s: %s with %s: %v by %+v, want %v, %s (source %s)", row.basis, row.a, row.b, ok, why, row.want, row.provenance, row.source)
			}
			row.a, row.b = row.b, row.a
		}
	}
}

func TestMixesPanic(t *testing.T) {
	for _, row := range []struct {
		situation Situation
		together  []Variable
	}{{"fire", of(ImposedC)}, {Strength, of("G")}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s of %v is combined", row.situation, row.together)
				}
			}()
			CombinationsOf(BasisEN).Mixes(row.situation, row.together)
		}()
	}
	// No category stated is the most cautious one.
	if got := CombinationsOf(BasisEN).Mixes(Strength, of("", WindAction)); len(got) != 2 || inWords(got[1]) != "ULS 1.35 (1): 1.5, 1.5" {
		t.Errorf("no category: %v", got)
	}
}

// A fault in the file of mixes is found, whatever it is.
func TestMixesAreAudited(t *testing.T) {
	file := string(embedded("tables/mixes.toml"))
	for _, row := range []struct{ what, from, to, want string }{
		{"an unknown key", "lead_by = ", "lead_with = ", "unknown key"},
		{"an unknown category", "lead = { imposed = 1.5,", "lead = { G = 1.5, imposed = 1.5,", `category "G" is not one of`},
		{"a negative factor", "wind = 0.45", "wind = -0.45", "value -0.45 is not positive"},
		{"an unknown basis", `basis = "AS"`, `basis = "XX"`, `basis "XX" is not one of`},
		{"an unknown rule", `rule = "6.10"`, `rule = "6.10c"`, `rule "6.10c" is not one of`},
		{"an unknown situation", `situations = ["accidental"]`, `situations = ["fire"]`, `situation "fire" is not one of`},
		{"a situation missing", `situations = ["accidental"]`, `situations = ["strength"]`, "EN 6.10 accidental: imposed never leads alone"},
		{"psi that rise", "psi0 = 0.7\npsi1 = 0.5", "psi0 = 0.4\npsi1 = 0.5", "do not fall"},
		{"psi above 1", "psi0 = 1.0", "psi0 = 1.1", "psi0: value 1.1 is above 1"},
		{"a category without psi", `categories = ["F"]`, `categories = ["D"]`, "psi of F stands 0 times"},
		{"no category less cautious than a known one", "categories = [\"imposed\"]\npsi0 = 1.0", "categories = [\"imposed\"]\npsi0 = 0.9", "psi of E is above that of a load of no known category"},
		{"no source", `source = "rule of this program; no source"`, "", "no source"},
		{"a pair twice", `b = ["wind", "ice"]`, `b = ["wind", "wind", "ice"]`, "EN: wind with temperature stands 2 times"},
		{"a pair missing", `b = ["wind", "ice"]`, `b = ["wind"]`, "EN: ice with temperature stands 0 times"},
		{"a class above every imposed load", "F = 0.5", "F = 1.5", "F is above every imposed load"},
		{"favourable above unfavourable", "permanent_favourable = 0.6", "permanent_favourable = 1.6", "favourable 1.6 is above unfavourable 1"},
		{"xi above 1", "value = 0.85", "value = 1.85", "xi: value 1.85 is above 1"},
		{"an unknown route", `routes = ["EN 1991-1-4",`, `routes = ["a guess",`, `wind route "a guess" is not one of`},
	} {
		if !strings.Contains(file, row.from) {
			t.Fatalf("%s: the file has no %q", row.what, row.from)
		}
		_, err := decodeMixes([]byte(strings.Replace(file, row.from, row.to, 1)))
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: %v, want an error with %q", row.what, err, row.want)
		}
	}
}
