using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What is lent to another worker: trials, and what their indices belong to.</summary>
/// <param name="Origin">The program, job and inventory.</param>
/// <param name="Trials">The trials.</param>
public sealed record ShardWork(CheckpointOrigin Origin, IReadOnlyList<Trial> Trials)
{
    // Doubles are written in their shortest form that reads back to the same bits; NaN and ∞ by name.
    private static readonly JsonSerializerOptions Json = new() { NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals };

    /// <summary>As UTF-8 JSON.</summary>
    public byte[] ToBytes() => JsonSerializer.SerializeToUtf8Bytes(this, Json);

    /// <summary>From UTF-8 JSON.</summary>
    /// <exception cref="JsonException">Not a shard of this version.</exception>
    public static ShardWork FromBytes(ReadOnlySpan<byte> bytes) =>
        JsonSerializer.Deserialize<ShardWork>(bytes, Json) ?? throw new JsonException("The shard is empty.");

    /// <summary>Results as UTF-8 JSON.</summary>
    public static byte[] Results(IReadOnlyList<TrialResult> results) => JsonSerializer.SerializeToUtf8Bytes(results, Json);

    /// <summary>Results from UTF-8 JSON.</summary>
    /// <exception cref="JsonException">Not results.</exception>
    public static IReadOnlyList<TrialResult> Results(ReadOnlySpan<byte> bytes) =>
        JsonSerializer.Deserialize<TrialResult[]>(bytes, Json) ?? throw new JsonException("The results are empty.");
}
