package main

import "testing"

// TestPace holds the heap between two collections to 64 MB beside what lives, to twice what lives where
// that is more and below 1.5 GiB, and to that as long as there is room in it.
func TestPace(t *testing.T) {
	const mib, room = 1 << 20, 1536 << 20
	for live, want := range map[uint64]int{0: 1600, 1 * mib: 1600, 8 * mib: 800, 32 * mib: 200, 64 * mib: 100} {
		if got := paceAt(live); got != want {
			t.Errorf("%d MiB: %d %%, want %d", live/mib, got, want)
		}
	}
	for live := uint64(65 * mib); live < 4096*mib; live += 64 * mib {
		percent := paceAt(live)
		most := live + live*uint64(percent)/100
		switch {
		case percent < 12 || percent > 100:
			t.Errorf("%d MiB: %d %%", live/mib, percent)
		case live <= room/2 && percent != 100:
			t.Errorf("%d MiB: %d %%, want 100", live/mib, percent)
		case live > room/2 && percent > 12 && most > room:
			t.Errorf("%d MiB: %d %% let the heap grow to %d MiB", live/mib, percent, most/mib)
		}
	}
}

// TestLimit holds the limit above the size to which the heap may grow before it is collected: no collection is
// hurried by it.
func TestLimit(t *testing.T) {
	const mib = 1 << 20
	for live := uint64(0); live < 8192*mib; live += 64 * mib {
		if most := live + live*uint64(paceAt(live))/100; uint64(limitAt(live)) <= most {
			t.Errorf("%d MiB: a limit of %d MiB, and the heap may grow to %d", live/mib, limitAt(live)/mib, most/mib)
		}
	}
}
