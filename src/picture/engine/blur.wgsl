// Lens blur and tone: every pixel gathers what the lens would spread over it, and is printed.
//
// Circles of confusion follow the thin lens; near things spread over what lies behind them, far things
// never spread over what lies before them. Three passes: largest circle per tile of 16 pixels, the same
// widened by what reaches in from neighbours, and the gathering itself.

#import bevy_core_pipeline::fullscreen_vertex_shader::FullscreenVertexOutput

struct Lens {
    // Radius in pixels of the circle that a point at infinity makes.
    far_radius_px: f32,
    // Focus distance over near plane: depth value times this is focus distance over distance.
    focus_per_near: f32,
    // No circle is drawn wider than this.
    widest_px: f32,
    // Samples for the widest circle.
    samples: f32,
    // 1 prints through the tone curve, 0 leaves light as it is.
    tone: f32,
    // White balance of exposed light.
    balanced_from_scene: mat3x3<f32>,
};

@group(0) @binding(0) var depth_map: texture_depth_2d;
@group(0) @binding(1) var colour_map: texture_2d<f32>;
@group(0) @binding(2) var tile_map: texture_2d<f32>;
@group(0) @binding(3) var linear_sampler: sampler;
@group(0) @binding(4) var<uniform> lens: Lens;

const TILE: i32 = 16;
const LIFT: f32 = 1.6;
const SLOPE: f32 = 1.08;
const FROM: f32 = 0.20;
const LENGTH: f32 = 0.36;
const TOE: f32 = 1.18;
// Light beyond print white that still spreads; more would show the pattern of the samples.
const BRIGHTEST: f32 = 4.0;
// Area of a pixel, over pi like all areas here.
const PIXEL: f32 = 0.31830989;
const INNER_PX: f32 = 6.0;
const GOLDEN_ANGLE: f32 = 2.39996323;

// Radius of the circle of confusion in pixels, positive before the focus, negative behind it.
fn circle(depth: f32) -> f32 {
    let signed_radius = lens.far_radius_px * (depth * lens.focus_per_near - 1.0);
    return clamp(signed_radius, -lens.widest_px, lens.widest_px);
}

// x: widest near circle, y: widest of all, in one tile.
@fragment
fn widest_in_tile(in: FullscreenVertexOutput) -> @location(0) vec4<f32> {
    let size = vec2<i32>(textureDimensions(depth_map));
    let first = vec2<i32>(floor(in.position.xy)) * TILE;
    var near = 0.0;
    var any = 0.0;
    for (var y = 0; y < TILE; y += 1) {
        for (var x = 0; x < TILE; x += 1) {
            let spot = min(first + vec2<i32>(x, y), size - vec2<i32>(1));
            let radius = circle(textureLoad(depth_map, spot, 0));
            near = max(near, radius);
            any = max(any, abs(radius));
        }
    }
    return vec4(near, any, 0.0, 1.0);
}

// x: how far a pixel of this tile has to look.
@fragment
fn widest_around(in: FullscreenVertexOutput) -> @location(0) vec4<f32> {
    let size = vec2<i32>(textureDimensions(tile_map));
    let here = vec2<i32>(floor(in.position.xy));
    let reach = i32(ceil(lens.widest_px / f32(TILE)));
    var radius = textureLoad(tile_map, here, 0).y;
    for (var y = -reach; y <= reach; y += 1) {
        for (var x = -reach; x <= reach; x += 1) {
            let other = here + vec2<i32>(x, y);
            if (any(other < vec2<i32>(0)) || any(other >= size)) { continue; }
            let near = textureLoad(tile_map, other, 0).x;
            let gap = f32(max(max(abs(x), abs(y)) - 1, 0) * TILE);
            if (near > gap) { radius = max(radius, near); }
        }
    }
    return vec4(radius, 0.0, 0.0, 1.0);
}

// Interleaved gradient noise (Jimenez 2014): turns the pattern from pixel to pixel.
fn turn(pixel: vec2<f32>) -> f32 {
    return fract(52.9829189 * fract(dot(pixel, vec2(0.06711056, 0.00583715)))) * 6.2831853;
}

// The tone curve of `picture/tone.rs`.
fn print_channel(x: f32) -> f32 {
    let straight = (1.0 - FROM) * LENGTH / SLOPE;
    let shoulder_from = FROM + straight;
    let shoulder_value = FROM + SLOPE * straight;
    let steep = SLOPE / (1.0 - shoulder_value);
    let toe_share = 1.0 - smoothstep(0.0, FROM, x);
    let shoulder_share = select(1.0, 0.0, x < shoulder_from);
    let toe = FROM * pow(x / FROM, TOE);
    let middle = FROM + SLOPE * (x - FROM);
    let shoulder = 1.0 - (1.0 - shoulder_value) * exp(-steep * (x - shoulder_from));
    return toe * toe_share + middle * (1.0 - toe_share - shoulder_share) + shoulder * shoulder_share;
}

fn print(scene: vec3<f32>) -> vec3<f32> {
    if (lens.tone < 0.5) { return scene; }
    let lifted = max(lens.balanced_from_scene * scene, vec3(0.0)) * LIFT;
    let grey = dot(lifted, vec3(0.2126, 0.7152, 0.0722));
    let spilled = mix(lifted, vec3(grey), min(grey / (grey + 4.0), 0.5));
    return vec3(print_channel(spilled.r), print_channel(spilled.g), print_channel(spilled.b));
}

// Area over pi of a circle with an edge one pixel soft.
fn disc(radius: f32) -> f32 {
    return max(radius * radius, 0.25) + 0.083;
}

@fragment
fn gather(in: FullscreenVertexOutput) -> @location(0) vec4<f32> {
    let pixel = vec2<i32>(floor(in.position.xy));
    let size = vec2<i32>(textureDimensions(depth_map));
    let own_colour = textureLoad(colour_map, pixel, 0);
    let radius = textureLoad(tile_map, pixel / TILE, 0).x;
    if (radius < 0.5) { return vec4(print(own_colour.rgb), 1.0); }

    let own_depth = textureLoad(depth_map, pixel, 0);
    let own = circle(own_depth);
    let reach = radius + 0.5;
    // Half a pixel to a few pixels away, close together, for edges that are only a little soft; then the rest.
    let inner = min(reach, INNER_PX);
    let inner_area = inner * inner - PIXEL;
    let outer_area = reach * reach - inner * inner;
    let inner_count = ceil(max(inner_area * 0.9, 8.0));
    let outer_count = clamp(ceil(outer_area * 0.9), 0.0, lens.samples - inner_count);
    let start = turn(in.position.xy);

    // Three layers: before the focus; nearer than this pixel's own surface but not before the focus; the rest.
    var before = vec3(0.0);
    var before_weight = 0.0;
    var over = vec3(0.0);
    var over_weight = 0.0;
    var behind = vec3(0.0);
    var behind_weight = 0.0;
    // Share of a near pixel's own circle that nothing near fills.
    var free = 0.0;
    // The pixel itself, at the middle of its own circle.
    if (own > 0.5) {
        let share = PIXEL / disc(own);
        before += own_colour.rgb * share;
        before_weight += share;
    } else {
        behind += own_colour.rgb * PIXEL;
        behind_weight += PIXEL;
    }

    for (var i = 0.0; i < inner_count + outer_count; i += 1.0) {
        var area = inner_area / inner_count;
        var away = sqrt(PIXEL + (i + 0.5) * area);
        if (i >= inner_count) {
            area = outer_area / outer_count;
            away = sqrt(inner * inner + (i - inner_count + 0.5) * area);
        }
        let angle = start + i * GOLDEN_ANGLE;
        let spot_f = in.position.xy + vec2(cos(angle), sin(angle)) * away;
        let spot = clamp(vec2<i32>(floor(spot_f)), vec2<i32>(0), size - vec2<i32>(1));
        let depth = textureLoad(depth_map, spot, 0);
        let colour = min(textureLoad(colour_map, spot, 0).rgb, vec3(BRIGHTEST));
        let other = circle(depth);
        let spread = clamp(abs(other) - away + 0.5, 0.0, 1.0) * area / disc(other);
        if (other > 0.5) {
            before += colour * spread;
            before_weight += spread;
            continue;
        }
        free += clamp(own - away + 0.5, 0.0, 1.0) * area / disc(own);
        // How much the sample lies before this pixel's surface; a gentle slope is one surface.
        let nearer = select(0.0, smoothstep(1.03, 1.12, depth / max(own_depth, 1e-9)), own <= 0.5);
        over += colour * (spread * nearer);
        over_weight += spread * nearer;
        var wide = abs(other);
        // What is further off shows only through the part of the circle that this surface leaves free.
        if (own <= 0.5 && depth < own_depth) { wide = min(wide, abs(own)); }
        let covers = area * max(clamp(wide - away + 0.25, 0.0, 1.0), select(0.0, 0.002, own > 0.5)) * (1.0 - nearer);
        behind += colour * covers;
        behind_weight += covers;
    }
    var result = own_colour.rgb;
    if (behind_weight > 0.0) { result = behind / behind_weight; }
    if (over_weight > 0.0) { result = mix(result, over / over_weight, min(over_weight, 1.0)); }
    if (before_weight > 0.0) {
        let filled = select(min(before_weight, 1.0), before_weight / (before_weight + free), own > 0.5);
        result = mix(result, before / before_weight, filled);
    }
    return vec4(print(result), 1.0);
}
