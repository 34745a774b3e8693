// One run over files: read by a few workers, kept in order.

package inbox

import (
	"context"
	"fmt"
	"sync"
)

// run reads files with a few workers and keeps them in the order given, so
// that the records do not depend on which picture was quicker to read.
func (in *Inbox) run(ctx context.Context, list []Dropped, report func(done, total int, o Outcome)) (Summary, error) {
	var sum Summary
	if err := in.zoneKnown(); err != nil {
		return sum, err
	}
	ctx, stop := context.WithCancel(ctx)
	reading := in.read(ctx, list)
	defer func() { stop(); reading.readers.Wait() }() // nothing is read or written behind the caller's back
	for done := 0; done < len(list); {
		batch, err := reading.batch(ctx, done, in.opts.Batch, in.opts.Fill)
		if err != nil {
			return sum, err
		}
		outcomes, err := in.keep(ctx, batch)
		for _, o := range outcomes {
			done++
			sum.add(o)
			if report != nil {
				report(done, len(list), o)
			}
		}
		if err != nil {
			return sum, err
		}
	}
	return sum, nil
}

// reading is a list of files that are being read.
type reading struct {
	results []chan read   // one a file, filled in any order
	ahead   chan struct{} // few pictures are read ahead: a slow disk must not fill the memory
	readers sync.WaitGroup
}

// read begins to read files, until ctx is done.
func (in *Inbox) read(ctx context.Context, list []Dropped) *reading {
	r := &reading{results: make([]chan read, len(list)), ahead: make(chan struct{}, 2*in.opts.Batch)}
	for i := range r.results {
		r.results[i] = make(chan read, 1)
	}
	state := in.j.State
	next := make(chan int)
	r.readers.Go(func() { r.feed(ctx, next) })
	for range in.opts.Workers {
		r.readers.Go(func() {
			for i := range next {
				r.results[i] <- in.look(list[i], state)
			}
		})
	}
	return r
}

// feed hands out the files in order, as far ahead as is allowed.
func (r *reading) feed(ctx context.Context, next chan<- int) {
	defer close(next)
	for i := range r.results {
		select {
		case r.ahead <- struct{}{}:
		case <-ctx.Done():
			return
		}
		select {
		case next <- i:
		case <-ctx.Done():
			return
		}
	}
}

// batch waits for the file at a place in the list and takes along those ready
// behind it; with fill it waits for these, too.
func (r *reading) batch(ctx context.Context, from, most int, fill bool) ([]read, error) {
	var batch []read
	for _, one := range r.results[from:min(from+most, len(r.results))] {
		if len(batch) == 0 || fill {
			select {
			case got := <-one:
				batch = append(batch, got)
			case <-ctx.Done():
				return nil, ctx.Err()
			}
		} else {
			select {
			case got := <-one:
				batch = append(batch, got)
			default:
				return batch, nil
			}
		}
		<-r.ahead
	}
	return batch, nil
}

// zoneKnown refuses to date photos by a zone nobody meant.
func (in *Inbox) zoneKnown() error {
	if doubt := in.j.State.ZoneDoubt(); doubt != "" {
		return fmt.Errorf("%s; photos are left where they are until it does", doubt)
	}
	return nil
}
