package alloy

import "drosswise/foundry/quantity"

const deg = quantity.Celsius

// Melting ranges and densities are typical figures of the Aluminum Association
// (wrought), NADCA (die casting), BS 1490 (LM) and JIS H 5302 (ADC12); the
// flags say which were read and which recalled. Where sources disagree:
//
//   - 5182: one table copy prints 568/638 °C, the line of 5056.
//   - 319.0: one database gives 480 kJ/kg, calculated; the handbook's 389 stands here.
//   - LM13: solidus 525 or 538 °C. LM4: 504-615 °C in another table. LM6: 567-579 °C.
//   - 383.0 and ADC12 are near equals, yet 2.74 and 2.68 g/cm³ are printed: too
//     far apart to compute porosity from.
var table = []Alloy{
	{"1050", "AA wrought", "EN AW-1050A near", 646 * deg, 657 * deg, 2.705, 390, 700 * deg, 750 * deg, Memory, Memory, Memory, Practice},
	{"1100", "AA wrought", "", 643 * deg, 657 * deg, 2.71, 390, 700 * deg, 750 * deg, Published, Published, Memory, Practice},
	{"3003", "AA wrought", "", 643 * deg, 654 * deg, 2.73, 0, 700 * deg, 750 * deg, Published, Published, Memory, Practice},
	{"3004", "AA wrought", "can body family", 629 * deg, 654 * deg, 2.72, 0, 700 * deg, 750 * deg, Published, Published, Memory, Practice},
	{"3104", "AA wrought", "can body", 629 * deg, 654 * deg, 2.72, 0, 700 * deg, 750 * deg, Memory, Memory, Memory, Practice},
	{"5052", "AA wrought", "", 607 * deg, 649 * deg, 2.68, 0, 700 * deg, 740 * deg, Published, Published, Memory, Practice},
	{"5182", "AA wrought", "can end", 577 * deg, 638 * deg, 2.65, 0, 690 * deg, 730 * deg, Memory, Memory, Memory, Practice},
	{"6061", "AA wrought", "", 582 * deg, 652 * deg, 2.7, 0, 700 * deg, 750 * deg, Published, Published, Memory, Practice},
	{"6063", "AA wrought", "", 616 * deg, 654 * deg, 2.69, 0, 700 * deg, 750 * deg, Published, Published, Memory, Practice},
	{"6082", "EN AW wrought", "", 575 * deg, 650 * deg, 2.7, 0, 700 * deg, 750 * deg, Memory, Memory, Memory, Practice},
	{"7075", "AA wrought", "", 477 * deg, 635 * deg, 2.81, 0, 690 * deg, 740 * deg, Published, Published, Memory, Practice},
	{"2024", "AA wrought", "", 502 * deg, 638 * deg, 2.78, 0, 690 * deg, 740 * deg, Published, Published, Memory, Practice},
	{"A356.0", "AA cast", "LM25 / EN AC-42100 near", 557 * deg, 613 * deg, 2.68, 389, 677 * deg, 788 * deg, Memory, Memory, Memory, Memory},
	{"356.0", "AA cast", "", 557 * deg, 613 * deg, 2.68, 389, 677 * deg, 788 * deg, Memory, Memory, Memory, Memory},
	{"319.0", "AA cast", "LM4/LM22, LM21 near", 521 * deg, 604 * deg, 2.79, 389, 677 * deg, 788 * deg, Published, Published, Memory, Memory},
	{"332.0", "AA cast", "LM26; piston", 520 * deg, 580 * deg, 2.76, 389, 700 * deg, 700 * deg, Published, Memory, Memory, Published},
	{"LM13", "BS 1490 cast", "336 / A332 / EN AC-48000; piston", 525 * deg, 560 * deg, 2.7, 0, 710 * deg, 710 * deg, Published, Memory, Memory, Published},
	{"A380.0", "AA cast", "LM24 near", 540 * deg, 595 * deg, 2.71, 389, 635 * deg, 705 * deg, Published, Published, Published, Memory},
	{"383.0", "AA cast", "ADC12 near", 516 * deg, 582 * deg, 2.74, 389, 615 * deg, 700 * deg, Published, Published, Published, Memory},
	{"ADC12", "JIS H 5302 cast", "383 near", 515 * deg, 582 * deg, 2.68, 0, 680 * deg, 700 * deg, Published, Published, Published, Published},
	{"LM24", "BS 1490 cast", "A380 / EN AC-46500", 520 * deg, 580 * deg, 2.79, 0, 700 * deg, 700 * deg, Published, Memory, Memory, Published},
	{"LM4", "BS 1490 cast", "319 / EN AC-45200 near", 525 * deg, 625 * deg, 2.75, 0, 720 * deg, 720 * deg, Published, Memory, Memory, Published},
	{"LM25", "BS 1490 cast", "A356 / EN AC-42000", 550 * deg, 615 * deg, 2.68, 0, 710 * deg, 710 * deg, Published, Published, Memory, Published},
	{"LM6", "BS 1490 cast", "A413 / EN AC-44100", 565 * deg, 575 * deg, 2.65, 0, 725 * deg, 725 * deg, Published, Memory, Memory, Published},
	{"413.0", "AA cast", "LM20 near", 574 * deg, 582 * deg, 2.66, 389, 635 * deg, 705 * deg, Published, Published, Published, Memory},
}
