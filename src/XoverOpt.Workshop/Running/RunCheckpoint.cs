using System.Text.Json;
using System.Text.Json.Serialization;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Running;

/// <summary>What a run needs to go on after an interruption, bit for bit.</summary>
/// <param name="State">The search between two batches.</param>
/// <param name="Used">Working time so far, which counts against the minutes of the job.</param>
/// <param name="Origin">What it was made by and from.</param>
public sealed record RunCheckpoint(SearchState State, TimeSpan Used, CheckpointOrigin Origin)
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

    /// <summary>From UTF-8 JSON, if the running program can go on from it with this problem; null, with the reason, if it cannot.</summary>
    /// <param name="bytes">The checkpoint.</param>
    /// <param name="problem">The problem to go on with.</param>
    /// <param name="mismatch">What differs, in words; null if nothing does.</param>
    /// <exception cref="JsonException">Not a checkpoint.</exception>
    public static RunCheckpoint? FromBytes(ReadOnlySpan<byte> bytes, Problem problem, out string? mismatch)
    {
        // The origin first: another version's search state may not even be readable here.
        CheckpointOrigin? origin = JsonSerializer.Deserialize<Header>(bytes, Json)?.Origin;
        mismatch = CheckpointOrigin.Of(problem).Mismatch(origin);
        return mismatch is null ? FromBytes(bytes) : null;
    }

    private sealed record Header(CheckpointOrigin? Origin);
}
