// Twin of timers/core/acts/figures.py: the rules and their sources are explained there.

import { checkFields } from './conform.js';
import { FIGURES } from './schema.js';

export const checkFigures = (doc) => checkFields(doc, FIGURES);
