// This file knows the tools that sessions name: free words of the person, the
// same tool whatever its case and spaces.

package journal

import (
	"cmp"
	"slices"
	"strings"
)

// ToolKey is a tool's name as names compare: lower case, single spaces, no
// spaces around.
func ToolKey(name string) string { return strings.ToLower(plainTool(name)) }

// plainTool is a tool's name without the spaces that mean nothing.
func plainTool(name string) string { return strings.Join(strings.Fields(name), " ") }

// addTools adds the tools that are not there yet, in the order of their keys,
// so that it does not matter which was said first.
func addTools(to, more []string) []string {
	for _, name := range more {
		name = plainTool(name)
		if name != "" && !slices.ContainsFunc(to, func(had string) bool { return ToolKey(had) == ToolKey(name) }) {
			to = append(to, name)
		}
	}
	slices.SortFunc(to, func(a, b string) int { return cmp.Or(cmp.Compare(ToolKey(a), ToolKey(b)), cmp.Compare(a, b)) })
	return to
}

// Used reports whether the session names the tool, in whatever spelling.
func (s *Session) Used(tool string) bool {
	return slices.ContainsFunc(s.Tools, func(name string) bool { return ToolKey(name) == ToolKey(tool) })
}

// Tools returns the tools that sessions name, by key, each as it was spelled
// first.
func (s *State) Tools() []string {
	var all []string
	for _, one := range s.Sessions {
		all = addTools(all, one.Tools)
	}
	return all
}

// ToolName is a tool as the journal spells it: as in the first session that
// names it, else as said.
func (s *State) ToolName(said string) string {
	for _, one := range s.Sessions {
		for _, name := range one.Tools {
			if ToolKey(name) == ToolKey(said) {
				return name
			}
		}
	}
	return plainTool(said)
}
