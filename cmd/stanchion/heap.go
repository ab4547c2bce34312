package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// pacedHeap lets the heap grow by 64 MB at least before it is collected: most calls end below that, and
// what each collection of a small heap takes is more than what it frees is worth. A larger heap may
// double between two collections as ever, up to a size that a small machine has room for, and
// beyond that grow by a part alone. What was freed goes back to the system where the program takes more than
// limitAt: a long run frees small pieces and then asks for large ones. A GOGC or GOMEMLIMIT of the
// environment stands.
func pacedHeap() {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	debug.SetGCPercent(mostRoom)
	eachCollection(func() {
		live := liveHeap()
		debug.SetGCPercent(paceAt(live))
		debug.SetMemoryLimit(limitAt(live))
	})
}

// limitAt returns how much memory, bytes, the program should stay below with a heap of which so many bytes live:
// 1.7 GiB, or a fifth more than lives, which no collection needs to hurry for.
func limitAt(live uint64) int64 { return int64(max(17<<30/10, live+live/5)) }

const mostRoom = 1600 // percent of the 4 MB from which the runtime counts

// paceAt returns by how many percent a heap of which so many bytes live may grow until it is
// collected again.
func paceAt(live uint64) int {
	const (
		least, usual = 12, 100
		roomy        = 64 << 20
		room         = 3 << 29 // 1.5 GiB
	)
	switch {
	case live == 0:
		return mostRoom
	case live <= roomy:
		return int(min(100*roomy/live, mostRoom))
	case live < room/2:
		return usual
	}
	return max(least, int(100*(room-min(live, room))/live))
}

// eachCollection calls f after each collection of the heap: its sentinel is garbage at once, so
// that the next collection finds it.
func eachCollection(f func()) {
	sentinel := new([64]byte)
	runtime.AddCleanup(sentinel, func(f func()) {
		f()
		eachCollection(f)
	}, f)
}

// liveHeap returns how many bytes the last collection left.
func liveHeap() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
