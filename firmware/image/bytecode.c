/*
 * Compiles one classic script to the engine's bytecode, as C source for the image. Runs on the machine
 * that builds, with the engine's own parser, so the board needs none.
 *
 *   bytecode SCRIPT.js OUT.c
 *
 * Two changes let the board use the code where it lies in flash: every name gets the identifier the
 * board will give it (built-in names keep theirs, the others follow XS_ID_COUNT in the order written
 * here), and literals become the "archive" kind, which is used in place instead of being copied.
 */
#include <stdio.h>
#include "xsCommon.h"
#include "xsScript.h"

#define PARSER_BUFFER_BYTES (1 << 20)
#define PARSER_TABLE_MODULO 1993
#define BYTES_PER_LINE 24

struct source {
  const unsigned char *next;
  const unsigned char *end;
};

struct names {
  txU2 *final_ids; /* by the script's own symbol index */
  char **added;    /* names the engine does not know yet */
  int added_count;
};

void fxGenerateTag(void *console, txString buffer, txInteger size, txString path) {
  (void)console, (void)path;
  snprintf(buffer, (size_t)size, "tag"); /* template literals: one script, one tag is enough */
}

void fxVReportError(void *console, txString path, txInteger line, txString format, c_va_list list) {
  (void)console;
  fprintf(stderr, "%s:%d: ", path ? path : "script", (int)line);
  vfprintf(stderr, format, list);
  fputc('\n', stderr);
}

void fxVReportWarning(void *console, txString path, txInteger line, txString format, c_va_list list) {
  fxVReportError(console, path, line, format, list);
}

txID fxGenerateProfileID(void *console) { return (void)console, 0; }

static int next_character(void *stream) {
  struct source *source = stream;
  return source->next < source->end ? *source->next++ : C_EOF;
}

static unsigned char *read_file(const char *path, size_t *size) {
  FILE *file = fopen(path, "rb");
  if (!file) {
    return NULL;
  }
  fseek(file, 0, SEEK_END);
  *size = (size_t)ftell(file);
  rewind(file);
  unsigned char *bytes = malloc(*size + 1);
  size_t got = fread(bytes, 1, *size, file);
  fclose(file);
  return got == *size ? bytes : NULL;
}

static txScript *compile(txString path, struct source *source) {
  txParser parser_memory, *parser = &parser_memory;
  txParserJump jump;
  txScript *volatile script = NULL;
  txString map_name = NULL;
  fxInitializeParser(parser, NULL, PARSER_BUFFER_BYTES, PARSER_TABLE_MODULO);
  parser->firstJump = &jump;
  if (setjmp(jump.jmp_buf) == 0) {
    parser->path = fxNewParserSymbol(parser, path);
    fxParserTree(parser, source, next_character, mxProgramFlag, &map_name);
    fxParserHoist(parser);
    fxParserBind(parser);
    script = fxParserCode(parser);
  }
  return parser->errorCount ? NULL : script;
}

static int builtin_id(const char *name) {
  for (int id = XS_SYMBOL_ID_COUNT; id < XS_ID_COUNT; id++) {
    if (strcmp(gxIDStrings[id], name) == 0) {
      return id;
    }
  }
  return 0;
}

/* The symbols buffer: a count, then NUL-terminated names from index 1 on. */
static struct names resolve_names(const txScript *script) {
  char *name = (char *)script->symbolsBuffer;
  txU2 count;
  memcpy(&count, name, sizeof count);
  name += sizeof count;
  struct names names = {calloc(count, sizeof(txU2)), calloc(count, sizeof(char *)), 0};
  for (int i = 1; i < count; i++, name += strlen(name) + 1) {
    int id = builtin_id(name);
    if (id == 0) {
      id = XS_ID_COUNT + names.added_count;
      names.added[names.added_count++] = name;
    }
    names.final_ids[i] = (txU2)id;
  }
  return names;
}

static txU1 in_place(txU1 code) {
  if (code >= XS_CODE_CODE_1 && code <= XS_CODE_CODE_4) {
    return (txU1)(code + XS_CODE_CODE_ARCHIVE_1 - XS_CODE_CODE_1);
  }
  if (code >= XS_CODE_STRING_1 && code <= XS_CODE_STRING_4) {
    return (txU1)(code + XS_CODE_STRING_ARCHIVE_1 - XS_CODE_STRING_1);
  }
  return code;
}

/* Walks the code as the engine's fxRemapIDs does: gxCodeSizes tells how long each instruction is. */
static void rewrite(txScript *script, const txU2 *final_ids) {
  txU1 *code = (txU1 *)script->codeBuffer, *end = code + script->codeSize;
  while (code < end) {
    int size = gxCodeSizes[*code];
    *code = in_place(*code);
    txU4 length;
    txU2 id;
    switch (size) {
      case 0: /* an identifier follows */
        memcpy(&id, code + 1, sizeof id);
        id = final_ids[id];
        memcpy(code + 1, &id, sizeof id);
        code += 1 + sizeof id;
        break;
      case -1: code += 2 + code[1]; break;
      case -2: code += 3 + (code[1] | code[2] << 8); break;
      case -4:
        memcpy(&length, code + 1, sizeof length);
        code += 5 + length;
        break;
      default: code += size;
    }
  }
}

static void write_c(FILE *out, const txScript *script, const struct names *names) {
  fputs("#include \"engine_memory.h\"\n", out);
  fputs("__attribute__((section(\".bytecode\"))) const uint8_t bytecode[] = {", out);
  for (int i = 0; i < script->codeSize; i++) {
    fprintf(out, "%s%d,", i % BYTES_PER_LINE ? "" : "\n", ((txU1 *)script->codeBuffer)[i]);
  }
  fprintf(out, "\n};\nconst int bytecode_bytes = %d;\n", (int)script->codeSize);
  fputs("const char *const bytecode_names[] = {\n", out);
  for (int i = 0; i < names->added_count; i++) {
    fputc('"', out);
    for (const char *byte = names->added[i]; *byte; byte++) {
      fprintf(out, "\\%03o", (unsigned char)*byte);
    }
    fputs("\",\n", out);
  }
  fprintf(out, "0};\nconst int bytecode_name_count = %d;\n", names->added_count);
}

int main(int argc, char **argv) {
  if (argc != 3) {
    fputs("usage: bytecode SCRIPT.js OUT.c\n", stderr);
    return 2;
  }
  size_t size;
  unsigned char *text = read_file(argv[1], &size);
  if (!text) {
    perror(argv[1]);
    return 1;
  }
  struct source source = {text, text + size};
  txScript *script = compile(argv[1], &source);
  if (!script) {
    return 1;
  }
  struct names names = resolve_names(script);
  rewrite(script, names.final_ids);
  FILE *out = fopen(argv[2], "w");
  if (!out) {
    perror(argv[2]);
    return 1;
  }
  write_c(out, script, &names);
  return fclose(out) == 0 ? 0 : 1;
}
