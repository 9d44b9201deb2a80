/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A small validator of the part of JSON Schema (draft 2020-12) that docs/output.schema.json uses.
 */
#ifndef BF_TESTS_SCHEMA_H
#define BF_TESTS_SCHEMA_H

#include "support.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

static inline int is_of_type(const json_t *value, const char *type)
{
    return (strcmp(type, "object") == 0 && json_is_object(value)) ||
           (strcmp(type, "array") == 0 && json_is_array(value)) ||
           (strcmp(type, "string") == 0 && json_is_string(value)) ||
           (strcmp(type, "number") == 0 && json_is_number(value)) ||
           (strcmp(type, "integer") == 0 && json_is_integer(value)) ||
           (strcmp(type, "boolean") == 0 && json_is_boolean(value)) ||
           (strcmp(type, "null") == 0 && json_is_null(value));
}

/* Nonzero when the value fits; else `wrong` says where it does not. */
static inline int fits(const json_t *whole, const json_t *schema, json_t *value, const char *path,
                       char *wrong, size_t room)
{
    const char *elsewhere = json_string_value(json_object_get(schema, "$ref"));
    if (elsewhere != NULL) {
        ck_assert_msg(strncmp(elsewhere, "#/$defs/", 8) == 0, "%s", elsewhere);
        schema = json_object_get(json_object_get(whole, "$defs"), elsewhere + 8);
        ck_assert_msg(schema != NULL, "%s leads nowhere", elsewhere);
    }
    const json_t *type = json_object_get(schema, "type");
    int type_fits = type == NULL;
    for (size_t i = 0; json_is_array(type) && i < json_array_size(type); i++) {
        type_fits = type_fits || is_of_type(value, json_string_value(json_array_get(type, i)));
    }
    if (json_is_string(type)) {
        type_fits = is_of_type(value, json_string_value(type));
    }
    if (!type_fits) {
        (void)snprintf(wrong, room, "%s is of another type", path);
        return 0;
    }
    const json_t *words = json_object_get(schema, "enum");
    int word_fits = words == NULL;
    for (size_t i = 0; i < json_array_size(words); i++) {
        word_fits = word_fits || json_equal(json_array_get(words, i), value);
    }
    if (!word_fits) {
        (void)snprintf(wrong, room, "%s is none of the words", path);
        return 0;
    }
    const json_t *required = json_object_get(schema, "required");
    for (size_t i = 0; json_is_object(value) && i < json_array_size(required); i++) {
        const char *name = json_string_value(json_array_get(required, i));
        if (json_object_get(value, name) == NULL) {
            (void)snprintf(wrong, room, "%s.%s is missing", path, name);
            return 0;
        }
    }
    const json_t *properties = json_object_get(schema, "properties");
    const json_t *others = json_object_get(schema, "additionalProperties");
    const char *name;
    json_t *member;
    char inside[300];
    json_object_foreach(value, name, member)
    {
        const json_t *shape = json_object_get(properties, name);
        shape = shape != NULL ? shape : others;
        (void)snprintf(inside, sizeof inside, "%.200s.%.60s", path, name);
        if (json_is_false(shape) || shape == NULL) {
            (void)snprintf(wrong, room, "%s is not foreseen", inside);
            return 0;
        }
        if (!fits(whole, shape, member, inside, wrong, room)) {
            return 0;
        }
    }
    const json_t *items = json_object_get(schema, "items");
    for (size_t i = 0; items != NULL && i < json_array_size(value); i++) {
        (void)snprintf(inside, sizeof inside, "%.250s[%zu]", path, i);
        if (!fits(whole, items, json_array_get(value, i), inside, wrong, room)) {
            return 0;
        }
    }
    return 1;
}

static inline json_t *load_schema(void)
{
    json_error_t error;
    json_t *schema = json_load_file(BF_SOURCE_DIR "/docs/output.schema.json", 0, &error);
    ck_assert_msg(schema != NULL, "docs/output.schema.json: %s", error.text);
    ck_assert_uint_eq(json_array_size(json_object_get(schema, "oneOf")), 9);
    return schema;
}

static inline const char *only_word(const json_t *shape, const char *member)
{
    const json_t *property = json_object_get(json_object_get(shape, "properties"), member);
    return json_string_value(json_array_get(json_object_get(property, "enum"), 0));
}

/* The shape of a command's document, and of a study where the command has several; NULL: none. */
static inline const json_t *shape_of(const json_t *schema, const char *command, const char *study)
{
    const json_t *shapes = json_object_get(schema, "oneOf");
    for (size_t i = 0; i < json_array_size(shapes); i++) {
        const json_t *shape = json_array_get(shapes, i);
        if (strcmp(only_word(shape, "command"), command) == 0 &&
            (study == NULL || strcmp(only_word(shape, "study"), study) == 0)) {
            return shape;
        }
    }
    ck_abort_msg("no shape for %s", command);
    return NULL;
}

#endif
