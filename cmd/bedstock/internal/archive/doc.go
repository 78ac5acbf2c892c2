// Package archive hands a survey on and takes one in: as a Darwin Core archive with events as its core, or as a Data
// Package of the survey folder's own tables.
//
// [New] turns a folder into the tables of an archive: surveys, strata, transects and quadrats as events, each within the
// one above it; what was looked for as occurrences, present or absent; what was measured as extended measurements.
// [Archive.Zip] writes them. What the terms of an archive have no words for is carried beside them as tables of the survey
// folder (see [Carried]), without people unless they are asked for. [Open] reads an archive, of bedstock or not, and
// [Read.Folder] makes a survey folder of it and says what it could not use.
//
// Ids are made of what names a row in the survey folder and of nothing else, so that rows of later years change none of
// them.
//
// References:
//   - Wieczorek, J. et al.: Darwin Core: an evolving community-developed biodiversity data standard. PLoS ONE 7, e29715 (2012)
//   - Darwin Core text guide, Biodiversity Information Standards (TDWG). http://rs.tdwg.org/dwc/terms/guides/text/
//   - De Pooter, D. et al.: Toward a new data standard for combined marine biological and environmental datasets - expanding
//     OBIS beyond species occurrences. Biodiversity Data Journal 5, e10989 (2017)
//   - Jones, M. et al.: Ecological Metadata Language, version 2.2.0. KNB (2019). https://eml.ecoinformatics.org
//   - Frictionless Data: Data Package, version 2.0 (2024). https://datapackage.org/standard/data-package/
package archive
