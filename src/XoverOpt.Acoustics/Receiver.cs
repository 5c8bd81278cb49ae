namespace XoverOpt.Acoustics;

/// <summary>The parameters of one balanced-armature receiver, in SI units.</summary>
public sealed record Receiver
{
    /// <summary>The part number it is bought under.</summary>
    public required string PartNumber { get; init; }

    /// <summary>Coil resistance at DC, Ω.</summary>
    public required double DcResistance { get; init; }

    /// <summary>Coil inductance, H; null where the coil has no such branch.</summary>
    public double? Inductance { get; init; }

    /// <summary>Semi-inductance K of the eddy-current branch K·√(jω), Ω·s^½; null where absent.</summary>
    public double? SemiInductance { get; init; }

    /// <summary>Force factor T, N/A: force = T·i, back-EMF = T·v.</summary>
    public required double ForceFactor { get; init; }

    /// <summary>Moving mass, kg.</summary>
    public required double Mass { get; init; }

    /// <summary>Mechanical compliance, m/N.</summary>
    public required double Compliance { get; init; }

    /// <summary>Mechanical resistance, N·s/m.</summary>
    public required double Resistance { get; init; }

    /// <summary>Diaphragm area, m².</summary>
    public required double DiaphragmArea { get; init; }

    /// <summary>Air volume behind the diaphragm, m³.</summary>
    public required double RearVolume { get; init; }

    /// <summary>Air volume between diaphragm and spout, m³.</summary>
    public required double FrontVolume { get; init; }

    /// <summary>Spout length, m.</summary>
    public required double SpoutLength { get; init; }

    /// <summary>Spout bore (inner diameter), m.</summary>
    public required double SpoutBore { get; init; }

    /// <summary>Largest armature travel from rest, m, peak; null where not stated.</summary>
    public double? TravelLimit { get; init; }

    /// <summary>Largest coil current, A RMS; null where not stated.</summary>
    public double? CurrentLimit { get; init; }
}
