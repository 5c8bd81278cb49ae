namespace XoverOpt.Search;

/// <summary>What varies.</summary>
public enum SpreadKind
{
    /// <summary>Sensitivity of a receiver; deviation in dB.</summary>
    Sensitivity,

    /// <summary>Resonance of a receiver; deviation of the logarithm of its frequency.</summary>
    Resonance,

    /// <summary>DC resistance of a receiver; deviation of its logarithm.</summary>
    DcResistance,

    /// <summary>Resistor; relative deviation.</summary>
    Resistor,

    /// <summary>Capacitor; relative deviation. Its loss resistance stays.</summary>
    Capacitor,

    /// <summary>Coil; relative deviation. Its loss resistance stays.</summary>
    Coil,

    /// <summary>Damper; relative deviation.</summary>
    Damper,

    /// <summary>Length of a tube piece; deviation in m.</summary>
    TubeLength,
}
