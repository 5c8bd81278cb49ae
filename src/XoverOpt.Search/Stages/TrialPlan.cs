namespace XoverOpt.Search;

/// <summary>How hard to work on a layout.</summary>
/// <param name="PointsPerOctave">Grid: 6, 12 or 24.</param>
/// <param name="Starts">Random starts, besides the given one.</param>
/// <param name="Draws">Random points looked at for each start; the best of them is where it starts.</param>
/// <param name="Sprint">Steps after which only the best start goes on; 0 to carry every start to its end.</param>
/// <param name="Steps">Most evaluations with derivatives of a descent.</param>
/// <param name="SnapWidth">0 to optimise; otherwise make it buildable, looking at this many combinations of the coarse lists.</param>
/// <param name="Global">Evaluations of a covariance matrix adaptation, whose best is one more start; 0 for none.</param>
/// <param name="FreeBores">Whether bores are values like the others at first; the layout that comes of it has the nearest ones.</param>
public sealed record TrialPlan(int PointsPerOctave, int Starts, int Draws, int Sprint, int Steps, int SnapWidth = 0, int Global = 0, bool FreeBores = false);
