using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What a run needs to go on after an interruption, bit for bit.</summary>
/// <param name="State">The search between two batches.</param>
/// <param name="Used">Working time so far, which counts against the minutes of the job.</param>
public sealed record RunCheckpoint(SearchState State, TimeSpan Used)
{
    // Doubles are written in their shortest form that reads back to the same bits; NaN and ∞ by name.
    private static readonly JsonSerializerOptions Json = new()
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
    };

    /// <summary>As UTF-8 JSON.</summary>
    public byte[] ToBytes() => JsonSerializer.SerializeToUtf8Bytes(this, Json);

    /// <summary>From UTF-8 JSON.</summary>
    /// <exception cref="JsonException">Not a checkpoint.</exception>
    public static RunCheckpoint FromBytes(ReadOnlySpan<byte> bytes) =>
        JsonSerializer.Deserialize<RunCheckpoint>(bytes, Json) ?? throw new JsonException("The checkpoint is empty.");
}
