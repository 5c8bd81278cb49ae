using System.Text.Json;
using Json.Schema;

namespace XoverOpt.Workshop.Tests;

/// <summary>Evaluates documents against the published schemas, with a general-purpose JSON Schema library.</summary>
internal static class SchemaCheck
{
    private static readonly Dictionary<string, JsonSchema> _schemas =
        FileSchemas.Names.ToDictionary(name => name, name => JsonSchema.FromText(FileSchemas.Text(name)));

    private static readonly EvaluationOptions _options = new() { OutputFormat = OutputFormat.List, RequireFormatValidation = true };

    private static readonly JsonDocumentOptions _handWritten = new() { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip };

    /// <summary>A document as files are read: comments and trailing commas accepted.</summary>
    public static JsonElement Parse(string text) => JsonDocument.Parse(text, _handWritten).RootElement;

    /// <summary>Whether a document satisfies the schema of a format.</summary>
    public static bool Holds(string name, string text) => _schemas[name].Evaluate(Parse(text)).IsValid;

    /// <summary>What the schema of the document's own format objects to; empty when it is satisfied.</summary>
    public static string Objections(JsonElement document)
    {
        EvaluationResults results = _schemas[document.GetProperty("format").GetString()!].Evaluate(document, _options);
        return results.IsValid
            ? ""
            : string.Join("\n", (results.Details ?? []).Where(d => d.Errors is not null).Select(d => $"{d.InstanceLocation}: {string.Join("; ", d.Errors!.Values)}"));
    }

    /// <summary>The items of a document: itself, or those of a list.</summary>
    public static IEnumerable<JsonElement> Items(JsonElement document) =>
        document.ValueKind == JsonValueKind.Array ? document.EnumerateArray() : [document];

    /// <summary>The folder of the solution; null when the tests run away from it.</summary>
    public static DirectoryInfo? Root()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "XoverOpt.sln")))
        {
            folder = folder.Parent;
        }

        return folder;
    }
}
