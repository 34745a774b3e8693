// Is the file finished? Decided from looks alone: no clock, no file system, so
// that it can be tried with scripted looks.

package inbox

import "time"

// settler remembers how each file looked.
type settler struct {
	quiet, giveUp time.Duration
	retry         time.Duration // the first pause before a file is tried again
	files         map[string]*seen
}

// seen is a file since its size and time of change are what they are.
type seen struct {
	size  int64
	mtime time.Time
	since time.Time // our clock at the first such look
	cut   bool      // it was read and ends early
	done  bool      // it was told of: quiet until it changes
	tries int       // how often something that may pass came between
	next  time.Time // not to be tried before
}

func newSettler(quiet, giveUp, retry time.Duration) *settler {
	return &settler{quiet: quiet, giveUp: giveUp, retry: retry, files: make(map[string]*seen)}
}

// longestPause is where the pause between two tries stops growing.
const longestPause = 10 * time.Minute

// pause is how long to wait after so many tries: each time twice as long.
func (s *settler) pause(tries int) time.Duration {
	return min(s.retry<<min(tries-1, 20), max(s.retry, longestPause))
}

// look notes how the files look now and returns those to be taken in.
func (s *settler) look(list []found, now time.Time) (ready []found) {
	here := make(map[string]bool, len(list))
	for _, f := range list {
		here[f.path] = true
		was := s.files[f.path]
		if was == nil || was.size != f.size || !was.mtime.Equal(f.mtime) {
			s.files[f.path] = &seen{size: f.size, mtime: f.mtime, since: now}
			continue
		}
		age := now.Sub(was.since)
		switch {
		case was.done, age < s.quiet, now.Before(was.next):
		case was.cut && age < s.giveUp: // it may still be coming
		default:
			ready = append(ready, f)
		}
	}
	for path := range s.files {
		if !here[path] {
			delete(s.files, path)
		}
	}
	return ready
}

// ended notes what became of a file and returns what to tell of it, nil for
// nothing. A file that ends early may still be coming: that is told once, and
// what became of it when the time is up. One that the journal could not take
// just now is not told of; one that something else came between is told of once,
// and tried again after a pause that grows.
func (s *settler) ended(f found, o Outcome, now time.Time) *Outcome {
	was := s.files[f.path]
	switch {
	case was == nil:
		return &o
	case o.retry == held:
		return nil
	case o.retry == later:
		was.tries++
		was.next = now.Add(s.pause(was.tries))
		if was.tries > 1 {
			return nil
		}
		o.Why += "; it is tried again"
		return &o
	case o.cut && now.Sub(was.since) < s.giveUp:
		if was.cut {
			return nil
		}
		was.cut = true
		o.Status = Waiting
		o.Why += "; perhaps it is still being copied, so it is looked at again"
		return &o
	}
	was.done = true
	return &o
}

// waiting reports whether a file is about to be finished, so that the next
// look should come soon. Those that end early are left to the timer.
func (s *settler) waiting() bool {
	for _, f := range s.files {
		if !f.done && !f.cut && f.size > 0 && f.tries == 0 {
			return true
		}
	}
	return false
}
