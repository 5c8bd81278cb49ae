namespace XoverOpt.Acoustics;

/// <summary>Which way round a way's pair of leads is soldered.</summary>
public enum Polarity
{
    /// <summary>As marked.</summary>
    Normal,

    /// <summary>Turned over.</summary>
    Inverted,
}
