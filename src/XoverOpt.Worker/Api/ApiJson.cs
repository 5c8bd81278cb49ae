using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace XoverOpt.Worker.Api;

/// <summary>How the API writes JSON.</summary>
internal static class ApiJson
{
    /// <summary>Camel case, readable text, choices by name, nothing for what is not there.</summary>
    public static JsonSerializerOptions Options { get; } = Set(new JsonSerializerOptions(JsonSerializerDefaults.Web));

    /// <summary>Sets options so.</summary>
    public static JsonSerializerOptions Set(JsonSerializerOptions options)
    {
        options.DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull;
        options.Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase));
        return options;
    }
}
