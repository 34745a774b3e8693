package reason

import "time"

// Fault is how far a camera's clock was off, which was taken off an instant. The
// zero value is a clock that was right, or none.
type Fault struct {
	Fast time.Duration // how far it was ahead; below zero = behind
	Text string        // what a record says instead that is no length of time
}

// Any reports whether something was taken off.
func (f Fault) Any() bool { return f != Fault{} }

// Known reports whether it is known how much was taken off, also if nothing.
func (f Fault) Known() bool { return f.Text == "" }

// MarshalText writes it as records hold it: "1h3m0s", "-20m0s".
func (f Fault) MarshalText() ([]byte, error) {
	if !f.Known() {
		return []byte(f.Text), nil
	}
	return []byte(f.Fast.String()), nil
}

// UnmarshalText reads it, and keeps what is no length of time.
func (f *Fault) UnmarshalText(text []byte) error {
	*f = Fault{}
	if len(text) == 0 {
		return nil
	}
	d, err := time.ParseDuration(string(text))
	if err != nil {
		f.Text = string(text)
	}
	f.Fast = d
	return nil
}
