// Package output writes the folder of results, whole or not at all.
//
// [Write] puts the files into a new folder beside the old one, the manifest last, and changes the two in one step where
// the system can. Whatever goes wrong on the way, and whenever the run is ended, the old folder or the new one stands
// whole, and the next run mends what is left lying about. A folder that is not ours, or in which somebody has changed
// something, is refused; by force it is kept under another name. Nothing is ever deleted but what this package wrote.
//
// [Verify] tells whether a folder is still as its manifest says, [CheckInputs] whether the survey folder is.
package output
