package bot

import (
	"sync"
	"testing"
	"time"
)

// TestWorkersNeverWaitForEachOther: as many tasks as there are run at once, on
// workers that were kept and on new ones.
func TestWorkersNeverWaitForEachOther(t *testing.T) {
	for _, idle := range []time.Duration{0, time.Hour} {
		w := newWorkers(idle)
		defer w.dismiss()
		for range 3 {
			const tasks = 20
			var met, done sync.WaitGroup
			met.Add(tasks)
			for range tasks {
				done.Add(1)
				w.do(func() {
					met.Done()
					met.Wait() // ends only if all of them run
					done.Done()
				})
			}
			done.Wait()
		}
	}
}
