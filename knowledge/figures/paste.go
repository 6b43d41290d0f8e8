package figures

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// PasteVolume returns the litres of paste:
//
//	area in m² × wet thickness in mm × applications × (1 + waste)
//
// since a litre covers one square metre a millimetre thick. 10 to 25 % of waste is an estimate, from memory. The
// thickness holds up to 50 mm.
func PasteVolume(area SquareMetre, thickness Millimetre, applications float64, waste Percent) (Litre, error) {
	if err := errors.Join(positive("The area", area, "m²"), within("The wet thickness", thickness, 0, 50, "mm"),
		within("The number of applications", applications, 0, 400, ""), within("The waste", waste, 0, 100, "%")); err != nil {
		return 0, err
	}
	return Litre(float64(area) * float64(thickness) * applications * (1 + waste.Share())), nil
}

// CoverArea returns the film or fabric, in square metres, that covers a rectangle with strips from a roll: strips are as
// long as the face is high, each laps the next one, and an edge hangs over on all sides.
//
//	strips = ⌈(width + 2·edge − lap) / (roll − lap)⌉;  area = strips × roll × (height + 2·edge)
//
// Geometry. A face without area needs none.
func CoverArea(width, height, roll, lap, edge Metre) (SquareMetre, error) {
	if err := errors.Join(positive("The width", width, "m"), positive("The height", height, "m"), above("The roll", roll, "m"),
		positive("The lap", lap, "m"), positive("The edge", edge, "m"), above("The roll less the lap", roll-lap, "m")); err != nil {
		return 0, err
	}
	if width == 0 || height == 0 {
		return 0, nil
	}
	const slack = 1e-9 // a strip that ends on the edge is no strip too few
	strips := max(1, math.Ceil(float64((width+2*edge-lap)/(roll-lap))-slack))
	return SquareMetre(strips) * SquareMetre(roll*(height+2*edge)), nil
}

// Tins is a number of containers of one size.
type Tins struct {
	Size  Litre
	Count int
}

// maxSteps bounds the work of Containers: volume over the common measure of the sizes.
const maxSteps = 2_000_000

// Containers returns the combination of container sizes that holds at least a volume with the least left over and, of
// those, with the fewest containers, largest first. Sizes are read to the millilitre, and the volume is rounded up to
// one. It is exact: the fewest containers for every total are found in turn.
func Containers(need Litre, sizes ...Litre) ([]Tins, error) {
	wrong := []error{positive("The volume", need, "L")}
	if len(sizes) == 0 {
		wrong = append(wrong, errors.New("There is no container size. Give at least one, in litres."))
	}
	step := 0
	var millilitres []int
	for _, size := range sizes {
		if err := within("The container", size, 0.001, 10_000, "L"); err != nil {
			wrong = append(wrong, err)
			continue
		}
		ml := int(math.Round(float64(size) * 1000))
		millilitres = append(millilitres, ml)
		step = gcd(step, ml)
	}
	if err := errors.Join(wrong...); err != nil {
		return nil, err
	}
	slices.Sort(millilitres)
	slices.Reverse(millilitres)
	millilitres = slices.Compact(millilitres)
	const slack = 1e-6 // 2.4 L is 2400 mL, whatever its last bit
	least := math.Ceil(float64(need)*1000 - slack)
	if (least+float64(millilitres[0]))/float64(step) > maxSteps {
		return nil, fmt.Errorf("%s L is too much to split into these containers. Order in bulk, or give fewer and rounder sizes.", plain(float64(need)))
	}
	first := (int(least) + step - 1) / step
	last := first + millilitres[0]/step
	// fewest[v] is the least number of containers that make v steps, and with[v] one of them; -1 where none do.
	fewest, with := make([]int, last+1), make([]int, last+1)
	for v := 1; v <= last; v++ {
		fewest[v] = -1
		for i, ml := range millilitres {
			if rest := v - ml/step; rest >= 0 && fewest[rest] >= 0 && (fewest[v] < 0 || fewest[rest]+1 < fewest[v]) {
				fewest[v], with[v] = fewest[rest]+1, i
			}
		}
	}
	total := first
	for fewest[total] < 0 {
		total++ // the largest size divides some total not beyond last
	}
	counts := make([]int, len(millilitres))
	for v := total; v > 0; v -= millilitres[with[v]] / step {
		counts[with[v]]++
	}
	var tins []Tins
	for i, ml := range millilitres {
		if counts[i] > 0 {
			tins = append(tins, Tins{Litre(ml) / 1000, counts[i]})
		}
	}
	return tins, nil
}

func (t Tins) String() string {
	return fmt.Sprintf("%d × %s L", t.Count, strconv.FormatFloat(float64(t.Size), 'f', -1, 64))
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
