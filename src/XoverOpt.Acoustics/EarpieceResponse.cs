using System.Numerics;

namespace XoverOpt.Acoustics;

/// <summary>The response of an earpiece, one entry a frequency in every array.</summary>
/// <param name="Hz">Frequencies, Hz.</param>
/// <param name="Pressure">Pressure at the eardrum microphone, Pa RMS.</param>
/// <param name="Impedance">Impedance at the socket, Ω.</param>
/// <param name="Ways">Each way's share of the eardrum pressure, Pa RMS; the shares add up to the pressure.</param>
public sealed record EarpieceResponse(double[] Hz, Complex[] Pressure, Complex[] Impedance, IReadOnlyList<WayShare> Ways);

/// <summary>One way's share of the eardrum pressure, Pa RMS.</summary>
public sealed record WayShare(string Name, Complex[] Pressure);
