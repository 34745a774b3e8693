// The devices that are let in, as a file in the journal's cache.

package guard

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"rakelight/journal/record"
)

// PairedDevice is a device that is let in. Its token is known to it alone; what is
// kept is the token's SHA-256.
type PairedDevice struct {
	ID    string    `json:"-"`     // the first half of Sum, for words and keys
	Name  string    `json:"name"`  // as the person called it, each once
	Sum   string    `json:"sum"`   // SHA-256 of the token, hex
	Since time.Time `json:"since"` // when it was let in
	Seen  string    `json:"seen"`  // the day it asked last, "2026-03-14"
}

// Devices is the file of the devices that are let in to a journal. It is read anew
// for each request, so that another process takes a device out at once, and written
// under a lock. A file that is absent or damaged lets nobody in.
type Devices struct{ path string }

// DevicesOf is the file of the journal in a folder. It lies in the cache, which no
// other computer shares: each lets devices in by itself.
func DevicesOf(journal string) Devices {
	return Devices{filepath.Join(journal, ".cache", "devices.json")}
}

// maxDevices bounds the file; a person has a handful.
const maxDevices = 100

// maxName is the longest name of a device, in characters.
const maxName = 40

// lockPatience is how long to wait for whoever else writes the file.
const lockPatience = 5 * time.Second

type devicesFile struct {
	Devices []PairedDevice `json:"devices"`
}

// All are the devices that are let in, in the order in which they were. An error
// says why the file cannot be read; nobody is let in then.
func (d Devices) All() ([]PairedDevice, error) {
	f, err := os.Open(d.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, 1<<20))
	if err != nil {
		return nil, err
	}
	var file devicesFile
	if err := json.Unmarshal(data, &file); err != nil {
		return nil, fmt.Errorf("%s is damaged, so no device is let in; delete it and let them in anew", d.path)
	}
	var whole []PairedDevice
	for _, one := range file.Devices {
		if sum, err := hex.DecodeString(one.Sum); err == nil && len(sum) == sha256.Size {
			one.ID, one.Name = one.Sum[:sha256.Size], nameOf(one.Name)
			whole = append(whole, one)
		}
	}
	return whole, nil
}

// Forget lets a device in no longer, whatever process serves. A name that no device
// has is an error that tells those that are known.
func (d Devices) Forget(name string) error {
	return d.change(func(all []PairedDevice) ([]PairedDevice, error) {
		rest := slices.DeleteFunc(slices.Clone(all), func(one PairedDevice) bool {
			return strings.EqualFold(one.Name, strings.TrimSpace(name))
		})
		if len(rest) < len(all) {
			return rest, nil
		}
		var names []string
		for _, one := range all {
			names = append(names, one.Name)
		}
		if names == nil {
			return nil, fmt.Errorf("no device is called %s; none is let in", name)
		}
		return nil, fmt.Errorf("no device is called %s; let in are %s", name, strings.Join(names, ", "))
	})
}

// add lets in a device and gives it a name that no other has.
func (d Devices) add(name, token string, now time.Time) (added PairedDevice, err error) {
	err = d.change(func(all []PairedDevice) ([]PairedDevice, error) {
		if len(all) >= maxDevices {
			return nil, fmt.Errorf("%d devices are let in, and no more can be; take one out: rakelight devices --forget",
				len(all))
		}
		added = PairedDevice{Name: freeName(nameOf(name), all), Sum: sumOf(token),
			Since: now.UTC().Truncate(time.Second), Seen: now.Format(time.DateOnly)}
		added.ID = added.Sum[:sha256.Size]
		return append(all, added), nil
	})
	return added, err
}

// find is the device that has a token.
func (d Devices) find(token string) (PairedDevice, bool) {
	all, err := d.All()
	if err != nil || token == "" {
		return PairedDevice{}, false
	}
	sum := []byte(sumOf(token))
	for _, one := range all {
		if subtle.ConstantTimeCompare(sum, []byte(one.Sum)) == 1 {
			return one, true
		}
	}
	return PairedDevice{}, false
}

// sawToday notes the day a device asked on, if it is still let in.
func (d Devices) sawToday(id, day string) error {
	return d.change(func(all []PairedDevice) ([]PairedDevice, error) {
		for i := range all {
			if all[i].ID == id {
				all[i].Seen = day
			}
		}
		return all, nil
	})
}

// change reads the file, changes the devices and writes them, all under a lock: who
// notes when a device was seen does not bring one back that was just taken out.
func (d Devices) change(do func(all []PairedDevice) ([]PairedDevice, error)) error {
	unlock, err := record.Lock(strings.TrimSuffix(d.path, ".json")+".lock", lockPatience)
	if err != nil {
		return err
	}
	defer unlock()
	all, err := d.All()
	if err != nil {
		return err
	}
	if all, err = do(all); err != nil {
		return err
	}
	data, err := json.MarshalIndent(devicesFile{all}, "", "  ")
	if err != nil {
		return err
	}
	return record.WriteFile(d.path, append(data, '\n'))
}

func sumOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// nameOf is a name on one line, no longer than one; "phone" when nothing is left.
func nameOf(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, " "))
	text = strings.Join(strings.Fields(text), " ")
	if runes := []rune(text); len(runes) > maxName {
		text = strings.TrimSpace(string(runes[:maxName]))
	}
	if text == "" {
		return "phone"
	}
	return text
}

// freeName is the name, with a number behind it where another device has it.
func freeName(name string, all []PairedDevice) string {
	for n, free := 2, name; ; n++ {
		if !slices.ContainsFunc(all, func(one PairedDevice) bool { return strings.EqualFold(one.Name, free) }) {
			return free
		}
		free = fmt.Sprintf("%s %d", name, n)
	}
}
