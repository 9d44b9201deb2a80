/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON documents: numbers that cannot be told are null, and what was assumed goes along. */
#ifndef BF_REPORT_PAGE_JSON_H
#define BF_REPORT_PAGE_JSON_H

#include "report/page/columns.h"

#include <jansson.h>

/* Add a value, which is taken over. Where memory is short the object or array is marked: a document
 * with a mark in it is not written, bf__json_write(). */
void bf__json_set(json_t *object, const char *name, json_t *value);
void bf__json_append(json_t *array, json_t *value);

/* Set a member; NaN and infinity become null. */
void bf__json_number(json_t *object, const char *name, double value);
void bf__json_text(json_t *object, const char *name, const char *value);

/* The same of a kind of quantity, in its SI unit of documents. */
void bf__json_quantity(json_t *object, const char *name, bf__quantity kind, double value);

/* A row of a list of quantities as members, SI before U.S. units. */
void bf__columns_json(const bf__column *columns, size_t count, const double *values,
                      json_t *object);

/* {"Ca": .., "Mg": ..}: the cations with a value above zero. */
json_t *bf__json_cations(const double *per_ion);

/* The head of every document: program, version, command, title, feed, bed, steps, notes. */
json_t *bf__json_document(const char *command, const bf_page *page);

/* The same in two parts, for documents of several cases: what every document says, and what one
 * case adds to an object: feed, bed, steps, notes. */
json_t *bf__json_head(const char *command, const char *title);
void bf__json_case(json_t *object, const bf_page *page);

/* Write and free a document. @return BF_OK, or BF_E_MEMORY when it or a part of it was not built */
BF_MUST_CHECK bf_status bf__json_write(json_t *document, FILE *out, bf_error *err);

#endif
