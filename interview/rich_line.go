package interview

import (
	"context"
	"errors"
	"strings"
)

// line asks for a line of text.
func (p *Rich) line(ctx context.Context, a *Ask) (Reply, error) {
	text := ""
	if a.Before != nil {
		text = a.Before.Line
	}
	unknown := func() bool { return a.Unknown && strings.EqualFold(strings.TrimSpace(text), "u") }
	help := a.Help
	if a.Unknown {
		help += " Type u if it is not known."
	}
	act, err := p.run(ctx, a, help, inputOf(&text), func() error {
		switch {
		case unknown():
			return nil
		case strings.TrimSpace(text) == "":
			return errors.New("Type an answer, then press Enter.")
		}
		return a.check(Reply{Line: text})
	})
	switch {
	case err != nil || act == Back:
		return Reply{Act: act}, err
	case unknown():
		return Reply{Act: NotKnown}, nil
	}
	return Reply{Line: text}, nil
}
