package rules

import (
	"fmt"
	"strings"
)

// Why names the verdict of a method and the rules that gave it, in one line.
func (o *Outcome) Why() string {
	var ids []string
	for _, r := range o.Reasons {
		ids = append(ids, fmt.Sprintf("%s (%s)", r.ID, r.Pos))
	}
	line := fmt.Sprintf("%s is %s", o.Method.ID, o.Verdict)
	const most = 4
	switch {
	case len(ids) > most:
		line += fmt.Sprintf(" by %s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
	case len(ids) > 0:
		line += " by " + strings.Join(ids, ", ")
	default:
		line += ": no rule says otherwise"
	}
	if len(o.Until) > 0 {
		line += ", until " + strings.Join(o.Until, ", ")
	}
	return line
}

func (c *Contradiction) Error() string {
	facts := strings.Join(c.Facts, ", ")
	var because []string
	for _, k := range c.Constraints {
		because = append(because, fmt.Sprintf("%s (%s)", strings.TrimSuffix(k.Because, "."), k.ID))
	}
	if len(because) == 0 {
		return "these answers cannot stand together: " + facts
	}
	return fmt.Sprintf("these answers cannot stand together: %s. %s", facts, strings.Join(because, "; "))
}
