namespace XoverOpt.Search;

/// <summary>Everything a search needs to go on from where it was saved, bit for bit. Plain data for a serializer.</summary>
public sealed record SearchState
{
}
