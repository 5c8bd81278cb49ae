namespace XoverOpt.Workshop.Paperwork;

/// <summary>A rectangle on paper, y downwards.</summary>
internal readonly record struct Box(double X, double Y, double Width, double Height)
{
    /// <summary>Right edge.</summary>
    public double Right => X + Width;

    /// <summary>Lower edge.</summary>
    public double Bottom => Y + Height;

    /// <summary>The least box around two points.</summary>
    public static Box Around(double x1, double y1, double x2, double y2) => new(Math.Min(x1, x2), Math.Min(y1, y2), Math.Abs(x2 - x1), Math.Abs(y2 - y1));

    /// <summary>Whether they share more than an edge.</summary>
    public bool Overlaps(Box other) =>
        X < other.Right - 1e-6 && other.X < Right - 1e-6 && Y < other.Bottom - 1e-6 && other.Y < Bottom - 1e-6;

    /// <summary>Whether another lies in it.</summary>
    public bool Holds(Box other) => other.X >= X - 1e-6 && other.Y >= Y - 1e-6 && other.Right <= Right + 1e-6 && other.Bottom <= Bottom + 1e-6;
}
