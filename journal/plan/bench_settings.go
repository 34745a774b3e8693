// This file reads the settings of what the work is done with: the headings of lists of
// supplies, and a person's own sanding plans.

package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"rakelight/journal/sanding"

	"github.com/BurntSushi/toml"
)

// headings reads the headings below which supplies stand.
func (r *reading) headings(raw map[string]toml.Primitive) []string {
	value, said := raw["supplies"]
	if !said {
		return nil
	}
	var all []string
	if r.meta.PrimitiveDecode(value, &all) != nil {
		r.remark(r.line("supplies"), "supplies is a list of headings, [\"Supplies\", \"Shopping\"]; those two are used")
		return nil
	}
	return slices.DeleteFunc(all, func(one string) bool { return strings.TrimSpace(one) == "" })
}

// SandingPlans are the person's own sanding plans, those that can be read.
func (c Config) SandingPlans() []sanding.Plan {
	var plans []sanding.Plan
	for _, one := range c.Sandings {
		if p, err := one.plan(); err == nil {
			plans = append(plans, p)
		}
	}
	return plans
}

// plan reads the table of a sanding plan.
func (c SandingConfig) plan() (sanding.Plan, error) {
	p := sanding.Plan{Surface: c.Surface, Finish: c.Finish, Remove: c.Remove, Own: true}
	for _, one := range []struct {
		name, said string
		known      []string
	}{{"surface", c.Surface, sanding.Surfaces}, {"finish", c.Finish, sanding.Finishes},
		{"remove", c.Remove, sanding.Removes}} {
		if one.said != "" && !slices.Contains(one.known, one.said) {
			return sanding.Plan{}, fmt.Errorf("%s %q is none of %s", one.name, one.said, strings.Join(one.known, ", "))
		}
	}
	if len(c.Steps) == 0 {
		return sanding.Plan{}, errors.New("it has no steps")
	}
	for _, text := range c.Steps {
		s, err := sanding.ParseStep(text)
		if err != nil {
			return sanding.Plan{}, err
		}
		p.Steps = append(p.Steps, s)
	}
	return p, nil
}
