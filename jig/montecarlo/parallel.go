package montecarlo

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Parallel calls work for 0 up to n, cut into ranges of the given size, on every core
// at once. What it makes does not depend on their number as long as work writes to
// places of its own range alone.
func Parallel(n, size int, work func(from, to int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (n+size-1)/size) {
		wg.Go(func() {
			for {
				to := int(next.Add(int64(size)))
				if to-size >= n {
					return
				}
				work(to-size, min(to, n))
			}
		})
	}
	wg.Wait()
}
