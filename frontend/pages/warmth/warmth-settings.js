// The settings forms of the Warmth page, by the first word of the query.
import { HeaterForm } from "./heater-form.js";
import { ProbeKeys } from "./probe-keys.js";
import { BandForm, HouseForm } from "./season-forms.js";
import { PlaceForm } from "../start/place-form.js";
import { TariffForm } from "./tariff-form.js";
import { WallsForm } from "./walls-form.js";

/** @type {Record<string, any>} */
export const SETTINGS_FORMS = {
  walls: WallsForm, heater: HeaterForm, tariff: TariffForm, band: BandForm, house: HouseForm, place: PlaceForm,
  probes: ProbeKeys,
};
