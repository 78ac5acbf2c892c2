package archive

// Terms of Darwin Core and its extensions.
const (
	dwc  = "http://rs.tdwg.org/dwc/terms/"
	dct  = "http://purl.org/dc/terms/"
	obis = "http://rs.iobis.org/obis/terms/"

	eventRow       = dwc + "Event"
	occurrenceRow  = dwc + "Occurrence"
	measurementRow = obis + "ExtendedMeasurementOrFact"
	plainFactRow   = dwc + "MeasurementOrFact"
)

// layout is one table of an archive: its file, the type of its rows and its columns after the first, which holds the id
// of the event.
type layout struct {
	file, row string
	terms     []string
}

var eventLayout = layout{"event.txt", eventRow, []string{
	dwc + "eventID", dwc + "parentEventID", dct + "type", dwc + "eventType", dwc + "eventDate", dwc + "year", dwc + "fieldNumber",
	dwc + "locationID", dwc + "higherGeography", dwc + "locality", dwc + "habitat",
	dwc + "decimalLatitude", dwc + "decimalLongitude", dwc + "geodeticDatum", dwc + "coordinateUncertaintyInMeters",
	dwc + "footprintWKT", dwc + "footprintSRS",
	dwc + "samplingProtocol", dwc + "samplingEffort", dwc + "sampleSizeValue", dwc + "sampleSizeUnit", dwc + "eventRemarks", dwc + "dataGeneralizations",
	dct + "license", dwc + "datasetName",
}}

var occurrenceLayout = layout{"occurrence.txt", occurrenceRow, []string{
	dwc + "eventID", dwc + "occurrenceID", dwc + "basisOfRecord", dwc + "occurrenceStatus",
	dwc + "scientificName", dwc + "scientificNameID", dwc + "verbatimIdentification", dwc + "taxonRank", dwc + "vernacularName",
	dwc + "organismQuantity", dwc + "organismQuantityType", dwc + "lifeStage", dwc + "recordedBy", dwc + "occurrenceRemarks",
}}

var measurementLayout = layout{"extendedmeasurementorfact.txt", measurementRow, []string{
	dwc + "measurementID", dwc + "occurrenceID", dwc + "measurementType", obis + "measurementTypeID",
	dwc + "measurementValue", obis + "measurementValueID", dwc + "measurementAccuracy",
	dwc + "measurementUnit", obis + "measurementUnitID", dwc + "measurementRemarks",
}}

// quantity is something measured: its name, its concept in the vocabulary P01 (what) and P06 (unit) of the NERC
// Vocabulary Server; empty where there is none that is agreed on.
type quantity struct {
	name, what, unit, unitID string
}

const (
	p01 = "http://vocab.nerc.ac.uk/collection/P01/current/"
	p06 = "http://vocab.nerc.ac.uk/collection/P06/current/"
)

// What is measured. The concepts are those of the OBIS manual and of published data sets; they are general ("biological
// entity specified elsewhere"), as the manual asks.
var (
	cover     = &quantity{"cover", p01 + "SDBIOL10/", "percent", p06 + "UPCT/"}
	wetWeight = &quantity{"wet weight", p01 + "OWETBM01/", "kg", p06 + "KGXX/"}
	wetPerM2  = &quantity{"wet weight biomass per unit area of the bed", p01 + "SDBIOL05/", "g/m2", p06 + "UGMS/"}
	length    = &quantity{"length", p01 + "OBSINDLX/", "cm", p06 + "ULCM/"}
	area      = &quantity{"area sampled", p01 + "AREABEDS/", "m2", p06 + "UMSQ/"}
	weighedM2 = &quantity{"area clipped and weighed", p01 + "AREABEDS/", "m2", p06 + "UMSQ/"}

	bedArea     = &quantity{"area of the bed", "", "m2", p06 + "UMSQ/"}
	stratumArea = &quantity{"area of the stratum", "", "m2", p06 + "UMSQ/"}
	suitable    = &quantity{"fraction of the area where the species can grow", "", "", ""}
	lowWater    = &quantity{"height of low water above chart datum", "", "m", p06 + "ULAA/"}
	soughtFact  = &quantity{"species sought", "", "", ""}
)

// squareMetres is the unit of sampleSizeValue.
const squareMetres = "square metre"
