"""Tables in and out: another office's columns to drafts of records, and records to CSV, GeoJSON and linked data."""

from baulk.exchange.amendments import Amendment, amendments
from baulk.exchange.csv_out import give_csv, give_dictionary
from baulk.exchange.draft import Draft, Drafted
from baulk.exchange.drafts import drafts
from baulk.exchange.geojson_out import give_geojson
from baulk.exchange.linked_data import give_linked_data
from baulk.exchange.mapping import Each, Spread, Take
from baulk.exchange.mapping_file import read_mapping, takes_of_text
from baulk.exchange.phase_table_out import give_phase_table
from baulk.exchange.table import Table, read_table, table_of_text
from baulk.exchange.taking import take_in
from baulk.exchange.withheld import withheld

__all__ = [
    "Amendment", "Draft", "Drafted", "Each", "Spread", "Table", "Take",
    "amendments", "drafts", "give_csv", "give_dictionary", "give_geojson", "give_linked_data", "give_phase_table", "read_mapping",
    "read_table", "table_of_text", "take_in", "takes_of_text", "withheld",
]  # fmt: skip
