namespace XoverOpt.Workshop.Paperwork;

/// <summary>Which part of a text stands at its place.</summary>
internal enum Anchor
{
    /// <summary>Its beginning.</summary>
    Start,

    /// <summary>Its middle.</summary>
    Middle,

    /// <summary>Its end.</summary>
    End,
}
