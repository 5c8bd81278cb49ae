namespace XoverOpt.Acoustics;

/// <summary>
/// A model of a tube piece: its chain matrix at ω for a length and a bore. <see cref="SoundTube.Matrix"/> is the one in use; a
/// circuit simulator that knows lumped elements only is compared through a lumped one.
/// </summary>
internal delegate TwoPort TubeMatrix(double omega, double length, double bore, Air air);
