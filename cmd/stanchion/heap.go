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
// beyond that grow by a part alone. A GOGC of the environment stands.
func pacedHeap() {
	if os.Getenv("GOGC") != "" {
		return
	}
	debug.SetGCPercent(mostRoom)
	eachCollection(func() { debug.SetGCPercent(paceAt(liveHeap())) })
}

const mostRoom = 1600 // percent of the 4 MB from which the runtime counts

// paceAt returns by how many percent a heap of which so many bytes live may grow until it is
// collected again.
func paceAt(live uint64) int {
	const (
		least, usual = 20, 100
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
