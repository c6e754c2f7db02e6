//! Numbers out of buffers: corners and indices as accessors describe them, checked against what is there.
//!
//! After the glTF 2.0 specification, §3.6.2; whole numbers as corners after its extension `KHR_mesh_quantization`.

use super::slip::MeshSlip;
use gltf::json::accessor::{Accessor, ComponentType, Type};
use gltf::json::validation::Checked;
use gltf::json::{Index, Root, buffer};

/// A file's description with all of its bytes.
pub struct Store<'f> {
    pub root: &'f Root,
    pub buffers: &'f [Vec<u8>],
    /// More elements than this can't be of any use.
    pub most: usize,
}

/// Elements one after the other in a buffer; none has bytes where a sparse accessor begins with zeros.
struct Column<'f> {
    bytes: &'f [u8],
    stride: usize,
    size: usize,
}

impl Column<'_> {
    fn element(&self, number: usize) -> Option<&[u8]> {
        let start = number.checked_mul(self.stride)?;
        self.bytes.get(start..start.checked_add(self.size)?)
    }
}

impl<'f> Store<'f> {
    pub fn corners(&self, index: Index<Accessor>) -> Result<Vec<[f32; 3]>, MeshSlip> {
        let accessor = self.accessor(index)?;
        let (Checked::Valid(Type::Vec3), Checked::Valid(component)) = (&accessor.type_, &accessor.component_type)
        else {
            return Err(broken(format!("accessor {} holds no corners", index.value())));
        };
        let read = |bytes: &[u8]| {
            let one = |axis: usize| number(bytes, axis, component.0, accessor.normalized);
            [one(0), one(1), one(2)]
        };
        self.elements(index, accessor, component.0, 3, [0.0; 3], read)
    }

    pub fn indices(&self, index: Index<Accessor>) -> Result<Vec<u32>, MeshSlip> {
        let accessor = self.accessor(index)?;
        let (Checked::Valid(Type::Scalar), Checked::Valid(component)) = (&accessor.type_, &accessor.component_type)
        else {
            return Err(broken(format!("accessor {} holds no indices", index.value())));
        };
        self.elements(index, accessor, component.0, 1, 0, |bytes| whole(bytes, component.0))
    }

    /// How many elements an accessor says it has, before any is read.
    pub fn count(&self, index: Index<Accessor>) -> Result<usize, MeshSlip> {
        let count = self.accessor(index)?.count.0;
        usize::try_from(count).ok().filter(|count| *count <= self.most).ok_or(MeshSlip::TooManyTriangles)
    }

    fn accessor(&self, index: Index<Accessor>) -> Result<&'f Accessor, MeshSlip> {
        let found = self.root.accessors.get(index.value());
        found.ok_or_else(|| broken(format!("there is no accessor {}", index.value())))
    }

    fn elements<T: Copy>(
        &self,
        index: Index<Accessor>,
        accessor: &Accessor,
        component: ComponentType,
        components: usize,
        zero: T,
        read: impl Fn(&[u8]) -> T,
    ) -> Result<Vec<T>, MeshSlip> {
        let outside = || broken(format!("accessor {} reaches outside its buffer", index.value()));
        let count = self.count(index)?;
        let size = width(component) * components;
        let mut elements = match accessor.buffer_view {
            Some(view) => {
                let column = self.column(view, accessor.byte_offset.map_or(0, |at| at.0), size, true)?;
                let element = |number| column.element(number).map(&read);
                (0..count).map(element).collect::<Option<Vec<T>>>().ok_or_else(outside)?
            }
            None => vec![zero; count],
        };
        let Some(sparse) = &accessor.sparse else { return Ok(elements) };
        let Checked::Valid(places) = &sparse.indices.component_type else { return Err(outside()) };
        let places_of =
            self.column(sparse.indices.buffer_view, sparse.indices.byte_offset.0, width(places.0), false)?;
        let values = self.column(sparse.values.buffer_view, sparse.values.byte_offset.0, size, false)?;
        let replaced =
            usize::try_from(sparse.count.0).ok().filter(|replaced| *replaced <= count).ok_or_else(outside)?;
        for number in 0..replaced {
            let place = places_of.element(number).map(|bytes| whole(bytes, places.0) as usize);
            let slot = place.and_then(|place| elements.get_mut(place)).ok_or_else(outside)?;
            *slot = values.element(number).map(&read).ok_or_else(outside)?;
        }
        Ok(elements)
    }

    /// The bytes of a view from an offset on.
    fn column(
        &self,
        view: Index<buffer::View>,
        offset: u64,
        size: usize,
        may_stride: bool,
    ) -> Result<Column<'f>, MeshSlip> {
        let outside = || broken(format!("buffer view {} reaches outside its buffer", view.value()));
        let view = self.root.buffer_views.get(view.value()).ok_or_else(outside)?;
        let bytes = self.buffers.get(view.buffer.value()).ok_or_else(outside)?;
        let start = view.byte_offset.map_or(0, |at| at.0);
        let end = start.checked_add(view.byte_length.0).ok_or_else(outside)?;
        let range = usize::try_from(start).ok().zip(usize::try_from(end).ok());
        let bytes = range.and_then(|(start, end)| bytes.get(start..end)).ok_or_else(outside)?;
        let bytes = usize::try_from(offset).ok().and_then(|offset| bytes.get(offset..)).ok_or_else(outside)?;
        let stride = view.byte_stride.map(|stride| stride.0).filter(|stride| may_stride && *stride > 0);
        Ok(Column { bytes, stride: stride.unwrap_or(size), size })
    }
}

fn broken(what: String) -> MeshSlip {
    MeshSlip::Broken(what)
}

fn width(component: ComponentType) -> usize {
    match component {
        ComponentType::I8 | ComponentType::U8 => 1,
        ComponentType::I16 | ComponentType::U16 => 2,
        ComponentType::U32 | ComponentType::F32 => 4,
    }
}

/// One component of an element; normalized whole numbers as §3.6.2.2 has them.
fn number(bytes: &[u8], axis: usize, component: ComponentType, normalized: bool) -> f32 {
    let two = |at: usize| [bytes[2 * at], bytes[2 * at + 1]];
    let four = |at: usize| [bytes[4 * at], bytes[4 * at + 1], bytes[4 * at + 2], bytes[4 * at + 3]];
    let (value, most) = match component {
        ComponentType::F32 => return f32::from_le_bytes(four(axis)),
        ComponentType::U32 => return u32::from_le_bytes(four(axis)) as f32,
        ComponentType::I8 => (f32::from(bytes[axis] as i8), 127.0),
        ComponentType::U8 => (f32::from(bytes[axis]), 255.0),
        ComponentType::I16 => (f32::from(i16::from_le_bytes(two(axis))), 32_767.0),
        ComponentType::U16 => (f32::from(u16::from_le_bytes(two(axis))), 65_535.0),
    };
    if normalized { (value / most).max(-1.0) } else { value }
}

/// An index; of what can be none, one that nothing has.
fn whole(bytes: &[u8], component: ComponentType) -> u32 {
    match (component, bytes) {
        (ComponentType::U8, [a]) => u32::from(*a),
        (ComponentType::U16, [a, b]) => u32::from(u16::from_le_bytes([*a, *b])),
        (ComponentType::U32, [a, b, c, d]) => u32::from_le_bytes([*a, *b, *c, *d]),
        _ => u32::MAX,
    }
}
