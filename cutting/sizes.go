package cutting

// Sizes and steps of the searches: none is a quantity of the outside world (internal/rules/bounds.txt says why of each).
const (
	stepFunctions     = 20    // step functions of the bound for bars
	bestFitMost       = 20000 // pieces of an order that is laid by best fit
	slackSteps        = 2000  // of the search for a full bar
	searchAgain       = 20    // times as long, where no table is
	fewPieces         = 6     // pieces in a bar at most, for the search of few
	askEvery          = 256   // steps between two looks whether a plan is still wanted
	gatherGain        = 1e-3  // of worth: less is none
	lpPenalty         = 1000  // of a programme: for the memory
	dualBits          = 40    // of a dual price in whole numbers
	sheetDualBits     = 30    // the same for sheets
	barBits           = 60    // no bar may overflow 64
	mostDual          = 1e3   // a dual price is cut off here: lower duals are valid duals
	settleSolves      = 50    // times that a programme is taken up again
	smoothMost        = 0.7   // how near the duals stay to the best so far
	smoothUp          = 0.1
	smoothDown        = 0.3
	smoothLeast       = 0.05
	sheetSmooth       = 0.6      // the same for sheets
	tolOver           = 1e6      // cost units from which a tolerance is a share
	mostScale         = 1e6      // decimals of money that are kept
	mostMoney         = 1e9      // of all costs in whole units
	maxCost           = 1e12     // of one bar or sheet
	jitterPart        = 8        // of the least panel: how far a beam is shuffled
	shelfOver         = 8        // times the width before a shelf is cut back
	functionsOfSide   = 6        // feasible functions of each kind for a side
	properPart        = 30       // of the steps for grids, for those with limited copies
	sheetPivotsAtOnce = 2000     // before duals are read
	bendMost          = 8        // how much more large panels are worth
	fillWork          = 20000000 // of a grid that a sheet is filled by
	rebuildSeed       = 11       // of the shuffles
	rebuildStream     = 19
	rebuildLeast      = 0.6 // of its area that a panel weighs
	rebuildSpread     = 0.8
	weaveSeed         = 5
	weaveStream       = 23
	weaveBend         = 0.3 // how much more large panels are worth
	weaveKept         = 0.6 // of the worth of the plan before
	weaveSpread       = 0.2 // of the shuffle
	settleSeed        = 29
	settleStream      = 31
	settleBend        = 0.2
	settleSpread      = 0.15
	settleLoss        = 0.01   // of a sheet that may be lost on the way
	wholeKinds        = 16     // kinds of sheet, where all are listed
	wholeTypes        = 1000   // types of panel, where all sheets are listed
	wholeTol          = 1e-5   // from a whole number
	betterBy          = 1.0001 // times, to be taken for better
	kindsFirst        = 0.01   // of a score, for bars of a kind to be decided first
	sizeBits          = 24     // of the number of a size
	copiesMost        = 7      // of a size in a branch: three bits
)
