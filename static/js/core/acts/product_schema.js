// Twin of timers/core/acts/product_schema.py: the rules and their sources are explained there.

import { checkValue } from './conform.js';
import { A_PRODUCT, A_ROUTE, A_SHEET } from './schema.js';

export const checkSheet = (sheet) => checkValue(sheet, A_SHEET, {});

export const checkDoc = (kind, doc) => checkValue(doc, kind === 'route_written' ? A_ROUTE : A_PRODUCT, {});
